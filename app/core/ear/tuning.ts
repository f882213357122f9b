// How far the guitar lies from A4 = 440 Hz, read from the thirds of a semitone around what was struck.
import type { Cents, Midi, Seconds } from '../base/units.ts';
import { type Frames, slowFrameAt } from './frames.ts';
import { SLOW } from './network/shape.ts';

/** Weighted points on the circle of one semitone; a sum of them points at the deviation they share. */
export interface TuningEvidence {
  readonly x: number;
  readonly y: number;
  readonly weight: number;
}

export const NO_TUNING: TuningEvidence = { x: 0, y: 0, weight: 0 };

/** From E4 up a third of a semitone is wider than a line of the spectrum; peaks below this share are not asked. */
const LOWEST: Midi = 64;
const HIGHEST: Midi = 100;
const LEAST_PEAK = 0.02;
/** The pluck itself is noise. */
const AFTER_PLUCK: Seconds = 0.08;
const LISTENS: Seconds = 0.3;

/** Adds what sounds after a stroke. @param until Nothing later is looked at. */
export function hearTuning(
  so: TuningEvidence,
  frames: Frames,
  began: Seconds,
  until: Seconds,
): TuningEvidence {
  const powers = new Float64Array(SLOW.bins);
  const last = slowFrameAt(Math.min(began + LISTENS, until));
  for (let f = slowFrameAt(began + AFTER_PLUCK); f <= last; f++) {
    frames.slow(f).forEach((power, bin) => (powers[bin]! += power));
  }
  const loudest = powers.reduce((most, power) => Math.max(most, power), 1e-12);
  let { x, y, weight } = so;
  const binOf = (midi: Midi): number => (midi - SLOW.lowest) * SLOW.perSemitone;
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
  return { x, y, weight };
}

/** Evidence that points less than this into one direction is noise. */
const AGREED = 0.3;

/** −50 to 50 cents; 0 while nothing clear was heard. Beyond 50 the nearest semitone is another one. */
export const tuningOf = ({ x, y, weight }: TuningEvidence): Cents =>
  Math.hypot(x, y) <= AGREED * weight ? 0 : (Math.atan2(y, x) / (2 * Math.PI)) * 100;

/** Of the parabola through the logarithms of three powers, from the middle one. */
function summit(a: number, b: number, c: number): number {
  const [la, lb, lc] = [Math.log(a + 1e-12), Math.log(b + 1e-12), Math.log(c + 1e-12)];
  const bend = la - 2 * lb + lc;
  return bend === 0 ? 0 : Math.max(-0.5, Math.min(0.5, (0.5 * (la - lc)) / bend));
}
