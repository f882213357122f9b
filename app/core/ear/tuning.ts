// How far the guitar lies from A4 = 440 Hz, read from the thirds of a semitone around what was struck.
import type { Cents, Midi, Seconds } from '../base/units.ts';
import { type Frames, slowFrameAt } from './frames.ts';
import { SLOW } from './network/shape.ts';

/** Weighted points on the circle of one semitone; a sum of them points at the deviation they share. */
export interface TuningEvidence {
  readonly x: number;
  readonly y: number;
  readonly weight: number;
  /** Near half a semitone: positive where the pitches that were due speak for sharp, negative for flat. */
  readonly lean: number;
}

export const NO_TUNING: TuningEvidence = { x: 0, y: 0, weight: 0, lean: 0 };

/** From E4 up a third of a semitone is wider than a line of the spectrum; peaks below this share are not asked. */
const LOWEST: Midi = 64;
const HIGHEST: Midi = 100;
const LEAST_PEAK = 0.02;
/** The pluck itself is noise. */
const AFTER_PLUCK: Seconds = 0.08;
const LISTENS: Seconds = 0.3;

/** A stroke that is listened to. */
interface Stroke {
  readonly began: Seconds;
  /** Nothing later is looked at. */
  readonly until: Seconds;
  /** The pitches that were due. */
  readonly due?: readonly Midi[];
}

/** Adds what sounds after a stroke. */
export function hearTuning(
  so: TuningEvidence,
  frames: Frames,
  { began, until, due = [] }: Stroke,
): TuningEvidence {
  const powers = new Float64Array(SLOW.bins);
  const last = slowFrameAt(Math.min(began + LISTENS, until));
  for (let f = slowFrameAt(began + AFTER_PLUCK); f <= last; f++) {
    frames.slow(f).forEach((power, bin) => (powers[bin]! += power));
  }
  const loudest = powers.reduce((most, power) => Math.max(most, power), 1e-12);
  let { x, y, weight } = so;
  for (let bin = binOf(LOWEST); bin < binOf(HIGHEST); bin++) {
    const [a, b, c] = [powers[bin - 1]!, powers[bin]!, powers[bin + 1]!];
    if (b < LEAST_PEAK * loudest || b < a || b <= c) continue;
    const share = Math.sqrt(b / loudest);
    const semitones = (bin + summit(a, b, c)) / SLOW.perSemitone + frames.tuning / 100;
    const angle = 2 * Math.PI * semitones;
    x += share * Math.cos(angle);
    y += share * Math.sin(angle);
    weight += share;
  }
  const found = { x, y, weight, lean: so.lean };
  return isAmbiguous(sharpOf(found))
    ? { ...found, lean: so.lean + leanOf(sharpOf(found), powers, frames.tuning, due) }
    : found;
}

const binOf = (midi: Midi): number => (midi - SLOW.lowest) * SLOW.perSemitone;

/** As if it were sharp: 0 to 100 cents. */
const sharpOf = ({ x, y }: TuningEvidence): Cents =>
  ((Math.atan2(y, x) / (2 * Math.PI)) * 100 + 100) % 100;

/** So far around half a semitone, sharp of one pitch may as well be flat of the next: what was due decides. */
const AMBIGUOUS: Cents = 17;
const isAmbiguous = (sharp: Cents): boolean => Math.abs(sharp - 50) < AMBIGUOUS;

/** Semitones of the harmonics by which pitches are told apart. */
const HARMONICS = [0, 12, 19.02, 24, 27.86];

/** 1 where all that was due sounds sharp of its place, −1 where all sounds flat. */
function leanOf(sharp: Cents, powers: Float64Array, tuned: Cents, due: readonly Midi[]): number {
  const places = new Set(due.flatMap((midi) => HARMONICS.map((h) => midi + h)));
  const heard = (cents: Cents): number => {
    let sum = 0;
    for (const midi of places) {
      if (midi < LOWEST || midi >= HIGHEST - 1) continue;
      const bin = Math.round(binOf(midi + (cents - tuned) / 100));
      sum += Math.sqrt(Math.max(0, powers[bin] ?? 0));
    }
    return sum;
  };
  const [up, down] = [heard(sharp), heard(sharp - 100)];
  return up + down === 0 ? 0 : (up - down) / (up + down);
}

/** Evidence that points less than this into one direction is noise. */
const AGREED = 0.3;

/**
 * 0 while nothing clear was heard, else −67 to 67 cents: beyond 33 the pitches that were due decide on which side it lies,
 * and where they say nothing, it is the nearer one.
 */
export function tuningOf(so: TuningEvidence): Cents {
  if (Math.hypot(so.x, so.y) <= AGREED * so.weight) return 0;
  const sharp = sharpOf(so);
  const isSharp = isAmbiguous(sharp) && so.lean !== 0 ? so.lean > 0 : sharp <= 50;
  return isSharp ? sharp : sharp - 100;
}

/** Of the parabola through the logarithms of three powers, from the middle one. */
function summit(a: number, b: number, c: number): number {
  const [la, lb, lc] = [Math.log(a + 1e-12), Math.log(b + 1e-12), Math.log(c + 1e-12)];
  const bend = la - 2 * lb + lc;
  return bend === 0 ? 0 : Math.max(-0.5, Math.min(0.5, (0.5 * (la - lc)) / bend));
}
