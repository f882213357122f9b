// Lays out the bars of a lap: count-in in the unit's own meter, the unit, rest bars; each with its place in time.
import { barLength, beatUnitLength } from '../rhythm/meter.ts';
import type { Feel, Meter, Tempo } from '../model/chart.ts';
import type { PaceStretch, PlayedBar, Unit } from '../model/unit.ts';
import { type Rational, add, compare, sub, ZERO } from '../base/rational.ts';
import type { Bpm, Seconds } from '../base/units.ts';
import type { CountIn, LapOptions, LapPart } from './model.ts';
import { placeInTime } from './tempo-map.ts';

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

/** @throws RangeError when the unit has no bars or bpm is not above 0. */
export function layOutBars(unit: Unit, bpm: Bpm, options: LapOptions): readonly TimedBar[] {
  if (unit.bars.length === 0) throw new RangeError(`layOutBars: ‘${unit.name}’ has no bars`);
  if (!(bpm > 0)) throw new RangeError(`layOutBars: ${bpm} bpm is not a tempo`);
  const quarterOf = (tempo: Tempo) => quarterAt(tempo, unit.tempo, bpm);
  const bars = unit.bars.map((bar, i) => unitBarPlan(bar, i, quarterOf(bar.tempo)));
  return placeInTime([
    ...countInPlans(bars[0]!, options.countIn),
    ...bars,
    ...restPlans(bars.at(-1)!, options.restBars),
  ]);
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

function unitBarPlan(played: PlayedBar, unitBar: number, quarter: Seconds): BarPlan {
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

/**
 * The last bar of a count-in is completed by the pickup, as bands count ("1 2 3 4, 1 2 3" and in on 4:
 * common practice, no source). A single bar that a pickup leaves less than half of gets a full one before it.
 */
function countInPlans(first: BarPlan, countIn: CountIn): readonly BarPlan[] {
  if (countIn === 'none') return [];
  const full = barLength(first.meter);
  const left = compare(first.offset, ZERO) > 0 ? first.offset : full;
  const bar = (length: Rational, thin = false): BarPlan => {
    const { meter, feel, quarter } = first;
    return { part: 'count-in', meter, feel, length, offset: ZERO, thin, quarter };
  };
  const enough = compare(add(left, left), full) >= 0;
  if (countIn === 'one' && enough) return [bar(left)];
  return [bar(full, countIn === 'half-then-full'), bar(left)];
}

function restPlans(last: BarPlan, count: number): readonly BarPlan[] {
  const { meter, feel, quarter } = last;
  const length = barLength(meter);
  const rest: BarPlan = { part: 'rest', meter, feel, length, offset: ZERO, thin: false, quarter };
  return Array.from({ length: count }, () => rest);
}

/** Quarter notes from the start of the lap to the end of a bar. */
export const endOf = (bar: TimedBar): Rational => add(bar.at, bar.length);

/** A place in a bar's meter, as quarter notes from the start of the lap. */
export const inLap = (bar: TimedBar, atMeter: Rational): Rational =>
  add(bar.at, sub(atMeter, bar.offset));
