// The bars of a unit with their places in time at a tempo, alone or as part of a lap.
import { barLength, beatUnitLength } from '../rhythm/meter.ts';
import type { Feel, Meter, Tempo } from '../model/chart.ts';
import type { PaceStretch, PlayedBar, Unit } from '../model/unit.ts';
import { type Rational, add, sub, ZERO } from '../base/rational.ts';
import type { Bpm, Seconds } from '../base/units.ts';
import { placeInTime } from './tempo-map.ts';

export type LapPart = 'count-in' | 'unit' | 'rest';

/** A bar before it has a time. */
export interface BarPlan {
  readonly part: LapPart;
  readonly unitBar?: number;
  /** What is written in it; absent in count-in and rest bars. */
  readonly played?: PlayedBar;
  readonly meter: Meter;
  readonly feel: Feel;
  readonly length: Rational;
  /** Where in its meter the bar begins: 0, or what a pickup leaves out. */
  readonly offset: Rational;
  /** Only every second beat is counted (the first bar of half-then-full). */
  readonly thin: boolean;
  readonly quarter: Seconds;
  readonly pace?: readonly PaceStretch[];
}

export interface TimedBar extends BarPlan {
  /** Quarter notes and seconds from the start of the lap. */
  readonly at: Rational;
  readonly seconds: Seconds;
}

/** The unit's bars alone. @throws RangeError as {@link planUnit} does. */
export const timeUnit = (unit: Unit, bpm: Bpm): readonly TimedBar[] =>
  placeInTime(planUnit(unit, bpm));

/** @throws RangeError when the unit has no bars or bpm is not above 0. */
export function planUnit(unit: Unit, bpm: Bpm): readonly BarPlan[] {
  if (unit.bars.length === 0) throw new RangeError(`planUnit: ‘${unit.name}’ has no bars`);
  if (!(bpm > 0)) throw new RangeError(`planUnit: ${bpm} bpm is not a tempo`);
  return unit.bars.map((bar, i) => planBar(bar, i, quarterAt(bar.tempo, unit.tempo, bpm)));
}

/**
 * Length of a quarter note when the unit's own tempo mark is replaced by `bpm`: marks inside the unit
 * scale in proportion. The definition of bpm: 60 s hold `bpm` counted notes.
 */
function quarterAt(tempo: Tempo, unitTempo: Tempo, bpm: Bpm): Seconds {
  const scaled = tempo.bpm === unitTempo.bpm ? bpm : (tempo.bpm * bpm) / unitTempo.bpm;
  const counted = beatUnitLength(tempo.beat);
  return (60 * counted.d) / (scaled * counted.n);
}

function planBar(played: PlayedBar, unitBar: number, quarter: Seconds): BarPlan {
  const { meter, feel, length, pace } = played;
  const offset = played.pickup ? sub(barLength(meter), length) : ZERO;
  return {
    part: 'unit',
    unitBar,
    played,
    meter,
    feel,
    length,
    offset,
    thin: false,
    quarter,
    ...(pace && { pace }),
  };
}

/** Quarter notes from the start of the lap to the end of a bar. */
export const endOf = (bar: TimedBar): Rational => add(bar.at, bar.length);

/** A place in a bar's meter, as quarter notes from the start of the lap. */
export const inLap = (bar: TimedBar, atMeter: Rational): Rational =>
  add(bar.at, sub(atMeter, bar.offset));
