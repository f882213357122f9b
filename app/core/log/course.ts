// The course of a unit, pass by pass, in columns: a tenth of what the whole records take on their way to the view.
import { type BriefPass, PASS_VERDICTS, VERDICT_SOURCES } from '../model/pass.ts';
import type { BeatUnit, Bpm, IsoTime, Seconds } from '../base/units.ts';

/** Columns of equal length, but for those that say which passes they hold. */
export interface PackedCourse {
  readonly at: readonly IsoTime[];
  readonly bpm: readonly Bpm[];
  /** Index of the rung, from 0. */
  readonly rung: readonly number[];
  readonly duration: readonly Seconds[];
  /** A digit a pass: its place in {@link PASS_VERDICTS} and in {@link VERDICT_SOURCES}. */
  readonly verdicts: string;
  readonly sources: string;
  /** Note value and bars, with the first pass from which on they hold. */
  readonly beats: readonly (readonly [from: number, beat: BeatUnit])[];
  readonly prints: readonly (readonly [from: number, fingerprint: string])[];
  /** Indices of passes. */
  readonly cold: readonly number[];
  readonly underrun: readonly number[];
}

/** A fraction of the size, for the way to the page. @param passes in time order */
export const packCourse = (passes: readonly BriefPass[]): PackedCourse => ({
  at: passes.map(({ at }) => at),
  bpm: passes.map(({ rung }) => rung.bpm),
  rung: passes.map(({ rung }) => rung.index),
  duration: passes.map(({ duration }) => duration),
  verdicts: passes.map(({ verdict }) => PASS_VERDICTS.indexOf(verdict)).join(''),
  sources: passes.map(({ source }) => VERDICT_SOURCES.indexOf(source)).join(''),
  beats: runsOf(passes.map(({ rung }) => rung.beat)),
  prints: runsOf(passes.map(({ unit }) => unit.fingerprint)),
  cold: passes.flatMap(({ cold }, i) => (cold ? [i] : [])),
  underrun: passes.flatMap(({ underrun }, i) => (underrun ? [i] : [])),
});

/** The inverse of {@link packCourse}. */
export function unpackCourse(packed: PackedCourse): readonly BriefPass[] {
  const beats = spread(packed.beats, packed.at.length);
  const prints = spread(packed.prints, packed.at.length);
  const cold = new Set(packed.cold);
  const underrun = new Set(packed.underrun);
  return packed.at.map((at, i) => ({
    at,
    verdict: PASS_VERDICTS[Number(packed.verdicts[i])]!,
    source: VERDICT_SOURCES[Number(packed.sources[i])]!,
    cold: cold.has(i),
    duration: packed.duration[i]!,
    unit: { fingerprint: prints[i]! },
    rung: { bpm: packed.bpm[i]!, beat: beats[i]!, index: packed.rung[i]! },
    ...(underrun.has(i) ? { underrun: true } : {}),
  }));
}

type Runs<T> = readonly (readonly [from: number, value: T])[];

const runsOf = <T>(values: readonly T[]): Runs<T> =>
  values.flatMap((value, i) => (i === 0 || value !== values[i - 1] ? [[i, value] as const] : []));

function spread<T>(runs: Runs<T>, length: number): T[] {
  const values: T[] = [];
  for (const [i, [from, value]] of runs.entries())
    for (let at = from; at < (runs[i + 1]?.[0] ?? length); at++) values.push(value);
  return values;
}
