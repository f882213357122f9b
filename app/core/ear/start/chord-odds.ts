// How well a chord explains what sounds, moment by moment: from the loudness of the twelve tones, without the network.
import type { Midi, PitchClass, Seconds } from '../../base/units.ts';
import { SLOW } from '../network/shape.ts';

/** A chord, known by its tones. */
type Tones = readonly PitchClass[];

export interface ChordOdds {
  /** Mean log odds that it is this chord that sounds, against any other; null where the stretch holds no moment. */
  mean(tones: Tones, from: Seconds, to: Seconds): number | null;
  /** Loudness, one number each {@link MOMENT}, in dB. */
  readonly levels: Float64Array;
}

/** Every second slow frame. */
const FRAMES = 2;
export const MOMENT: Seconds = FRAMES * SLOW.hop;
/** Below lie hum and steps, above little but noise. */
const LOWEST: Midi = 43;
const HIGHEST: Midi = 84;
/** Loudness is compressed, so that the loudest tone does not decide alone. */
const COMPRESSED = 0.35;
/** A tone brings its third and fifth harmonics along, so loud beside itself. */
const HARMONICS: readonly (readonly [number, number])[] = [
  [7, 0.35],
  [4, 0.105],
];
/** What one unit of likeness (the cosine between what sounds and what a chord sounds like) is worth, in nats. */
const SHARPNESS = 20;
/** The other chord that may sound instead is one of the unit's as often as any triad at all. */
const ANY = 0.5;
/** More than this under the loud moments there is nothing to be told. */
const QUIET = 40;

/** Of each of the `chords`. @param slow Powers of a slow frame: thirds of a semitone, laid where the guitar's tuning is. */
export function chordOdds(
  chords: readonly Tones[],
  slow: (frame: number) => Float32Array,
  length: Seconds,
): ChordOdds {
  const count = Math.max(0, Math.floor(length / MOMENT));
  const levels = new Float64Array(count);
  const heard = Array.from({ length: count }, (_, i) => {
    const { tones, level } = tonesOf(slow(FRAMES * i));
    levels[i] = level;
    return tones;
  });
  const least = (levels.toSorted()[Math.floor(0.9 * count)] ?? 0) - QUIET;
  const own = new Map(chords.map((tones) => [nameOf(tones), pictureOf(tones)]));
  const sums = new Map([...own.keys()].map((name) => [name, new Float64Array(count + 1)]));
  heard.forEach((tones, i) => {
    const likeness = (picture: Float64Array): number => Math.exp(SHARPNESS * dot(picture, tones));
    const mine = new Map([...own].map(([name, picture]) => [name, likeness(picture)]));
    const others = (1 - ANY) * mean([...mine.values()]) + ANY * mean(TRIADS.map(likeness));
    for (const [name, sum] of sums) {
      const odds = levels[i]! < least ? 0 : Math.log(mine.get(name)! / others);
      sum[i + 1] = sum[i]! + odds;
    }
  });
  return {
    levels,
    mean: (tones, from, to) => {
      const first = Math.max(0, Math.ceil(from / MOMENT));
      const end = Math.min(count, Math.floor(to / MOMENT) + 1);
      if (end <= first) return null;
      const sum = sums.get(nameOf(tones))!;
      return (sum[end]! - sum[first]!) / (end - first);
    },
  };
}

const nameOf = (tones: Tones): string => tones.join();

/** What a chord sounds like, of length 1. */
function pictureOf(tones: Tones): Float64Array {
  const picture = new Float64Array(12);
  for (const pc of tones) {
    picture[pc]! += 1;
    for (const [above, share] of HARMONICS) picture[(pc + above) % 12]! += share;
  }
  return ofLengthOne(picture);
}

const TRIADS: readonly Float64Array[] = [
  ...Array.from({ length: 12 }, (_, root) => root).flatMap((root) => [
    pictureOf([root, (root + 4) % 12, (root + 7) % 12]),
    pictureOf([root, (root + 3) % 12, (root + 7) % 12]),
  ]),
  ofLengthOne(new Float64Array(12).fill(1)),
];

/** The twelve tones of a slow frame, all octaves together, the weakest taken for noise; and how loud it is in dB. */
function tonesOf(powers: Float32Array): { tones: Float64Array; level: number } {
  const strongest = new Float64Array(HIGHEST - LOWEST + 1);
  for (let midi = LOWEST; midi <= HIGHEST; midi++) {
    const bin = (midi - SLOW.lowest) * SLOW.perSemitone;
    const [below, own, above] = [powers[bin - 1]!, powers[bin]!, powers[bin + 1]!];
    strongest[midi - LOWEST] = Math.max(below, own, above);
  }
  const top = strongest.reduce((most, power) => Math.max(most, power), 1e-12);
  const tones = new Float64Array(12);
  strongest.forEach((power, i) => (tones[(LOWEST + i) % 12]! += (power / top) ** COMPRESSED));
  const weakest = tones.reduce((least, tone) => Math.min(least, tone), Infinity);
  const sum = strongest.reduce((total, power) => total + power, 1e-12);
  return {
    tones: ofLengthOne(tones.map((tone) => tone - weakest)),
    level: 10 * Math.log10(sum),
  };
}

function ofLengthOne(tones: Float64Array): Float64Array {
  const length = Math.hypot(...tones) + 1e-9;
  return tones.map((tone) => tone / length);
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < 12; k++) sum += a[k]! * b[k]!;
  return sum;
}

const mean = (numbers: readonly number[]): number =>
  numbers.reduce((sum, x) => sum + x, 0) / numbers.length;
