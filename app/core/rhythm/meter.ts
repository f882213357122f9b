// Meters and the notes that count them: beats of a bar, default groupings, bar lengths, tempo marks.
import { type Rational, add, rational, sum, ZERO } from '../base/rational.ts';
import { type Problem, type Result, fail, ok } from '../base/result.ts';
import type { BeatUnit } from '../base/units.ts';
import type { Meter, Tempo } from '../model/chart.ts';

/** Most units a bar may have: 24/16 is the longest meter in ordinary use (common practice, no source). */
export const MAX_NUMERATOR = 24;
/** The longest group of eighths or sixteenths that one beat may hold. */
const MAX_BEAT_UNITS = 4;

/** One beat of a bar. `at` and `length` are quarter notes. */
export interface MeterBeat {
  readonly at: Rational;
  readonly length: Rational;
  /** Does the bar itself, a group inside it (the secondary stress), or only the beat start here? */
  readonly stress: 'bar' | 'group' | 'beat';
}

/** Eighths and sixteenths are counted in groups: every group is a beat. */
const groupsAreBeats = (meter: Meter): boolean => meter.unit >= 8;

/** Length in quarter notes of the note value below the line: 4 is a quarter, 8 an eighth. */
export const unitLength = (meter: Meter): Rational => rational(4, meter.unit);

/** Quarter notes in a full bar. */
export const barLength = (meter: Meter): Rational => rational(meter.numerator * 4, meter.unit);

/** Bars ask for the beats of one meter many times over. */
const known = new WeakMap<Meter, readonly MeterBeat[]>();

/** Every beat of a full bar, in order. */
export function beatsOf(meter: Meter): readonly MeterBeat[] {
  let beats = known.get(meter);
  if (!beats) known.set(meter, (beats = layOutBeats(meter)));
  return beats;
}

function layOutBeats(meter: Meter): readonly MeterBeat[] {
  const unit = unitLength(meter);
  const lengths = groupsAreBeats(meter)
    ? meter.grouping.map((group) => rational(group * unit.n, unit.d))
    : Array.from({ length: meter.numerator }, () => unit);
  const groupStarts = groupsAreBeats(meter) ? new Set<number>() : startsOf(meter.grouping);
  let at = ZERO;
  return lengths.map((length, i) => {
    const stress = i === 0 ? 'bar' : groupStarts.has(i) ? 'group' : 'beat';
    const beat: MeterBeat = { at, length, stress };
    at = add(at, length);
    return beat;
  });
}

/** Index of the unit at which each group starts. */
function startsOf(grouping: readonly number[]): Set<number> {
  let at = 0;
  const starts = new Set<number>();
  for (const group of grouping) {
    starts.add(at);
    at += group;
  }
  return starts;
}

/**
 * The grouping a player assumes when none is written: threes in compound time, 2+2+3 for 7/8,
 * 3+2 for 5, a middle stress in 4/4 (common practice, no source).
 */
export function defaultGrouping(numerator: number, unit: Meter['unit']): readonly number[] {
  if (unit < 8) return simpleGrouping(numerator);
  if (numerator === 7) return [2, 2, 3];
  if (numerator < 3) return [numerator];
  const twos = (3 - (numerator % 3)) % 3;
  const threes = (numerator - 2 * twos) / 3;
  return [...Array<number>(threes).fill(3), ...Array<number>(twos).fill(2)];
}

function simpleGrouping(numerator: number): readonly number[] {
  const usual: Record<number, readonly number[]> = { 4: [2, 2], 5: [3, 2], 6: [3, 3], 7: [4, 3] };
  return usual[numerator] ?? [numerator];
}

/** A meter with its default grouping, e.g. `meterOf(6, 8)`. The caller vouches for the numbers. */
export const meterOf = (numerator: number, unit: Meter['unit']): Meter => ({
  numerator,
  unit,
  grouping: defaultGrouping(numerator, unit),
});

/** Refuses units other than 2, 4, 8 and 16, more than 24 units, and groups that do not add up. */
export function checkMeter(meter: Meter): Result<Meter> {
  const problem = meterProblem(meter);
  return problem ? fail(problem) : ok(meter);
}

function meterProblem({ numerator, unit, grouping }: Meter): Problem | undefined {
  const name = `${numerator}/${unit}`;
  if (![2, 4, 8, 16].includes(unit) || !Number.isInteger(numerator) || numerator < 1) {
    return problem('meter-unknown', `${name} is not a meter`, 'Write one such as 4/4, 6/8 or 7/8.');
  }
  if (numerator > MAX_NUMERATOR) {
    const cure = `Use at most ${MAX_NUMERATOR} units in a bar.`;
    return problem('meter-too-long', `${name} is longer than this program counts`, cure);
  }
  const total = grouping.reduce((a, b) => a + b, 0);
  if (total !== numerator || grouping.some((g) => !Number.isInteger(g) || g < 1)) {
    const message = `the groups ${grouping.join('+')} make ${total}; the meter is ${name}`;
    return problem('meter-grouping', message, `Choose groups that add up to ${numerator}.`);
  }
  if (unit >= 8 && grouping.some((g) => g > MAX_BEAT_UNITS)) {
    const message = `${name} has a beat longer than ${MAX_BEAT_UNITS} units`;
    return problem('meter-grouping', message, `Use groups of 1 to ${MAX_BEAT_UNITS}.`);
  }
  return undefined;
}

const problem = (code: string, message: string, cure: string): Problem => ({ code, message, cure });

/** Is every beat a dotted note (6/8, 9/8, 12/8)? */
export const isCompound = (meter: Meter): boolean =>
  meter.unit >= 8 && meter.grouping.every((group) => group === 3);

/** The note a tempo counts when nothing else is said: ♩. in compound eighths, ♪ in compound sixteenths. */
export function usualBeatUnit(meter: Meter): BeatUnit {
  if (meter.unit === 2) return 'half';
  if (isCompound(meter)) return meter.unit === 8 ? 'dotted-quarter' : 'dotted-eighth';
  return 'quarter';
}

const BEAT_LENGTHS: Record<BeatUnit, Rational> = {
  half: rational(2),
  'dotted-half': rational(3),
  quarter: rational(1),
  'dotted-quarter': rational(3, 2),
  eighth: rational(1, 2),
  'dotted-eighth': rational(3, 4),
};

/** Length of the counted note in quarter notes: ♩. is 3/2. */
export const beatUnitLength = (beat: BeatUnit): Rational => BEAT_LENGTHS[beat];

/** The sign for a counted note. Few fonts have the half note, so it is written as a word. */
const BEAT_SIGNS: Record<BeatUnit, string> = {
  half: 'half',
  'dotted-half': 'half.',
  quarter: '♩',
  'dotted-quarter': '♩.',
  eighth: '♪',
  'dotted-eighth': '♪.',
};

/** "♩ = 170", "♩. = 58". */
export const printTempo = (tempo: Tempo): string => `${BEAT_SIGNS[tempo.beat]} = ${tempo.bpm}`;

/** "4/4", "7/8 (3+2+2)": the grouping only where it is not the usual one. */
export function printMeter(meter: Meter): string {
  const usual = defaultGrouping(meter.numerator, meter.unit);
  const name = `${meter.numerator}/${meter.unit}`;
  return usual.join() === meter.grouping.join() ? name : `${name} (${meter.grouping.join('+')})`;
}

/** Length in quarter notes of some beats together. */
export const lengthOf = (beats: readonly MeterBeat[]): Rational => sum(beats.map((b) => b.length));
