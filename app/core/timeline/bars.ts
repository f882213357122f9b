// Lays out the bars of a lap: count-in in the unit's own meter, the unit, rest bars; each with its place in time.
import { barLength } from '../rhythm/meter.ts';
import type { Unit } from '../model/unit.ts';
import { type Rational, add, compare, ZERO } from '../base/rational.ts';
import type { Bpm } from '../base/units.ts';
import type { CountIn, LapOptions } from './model.ts';
import { placeInTime } from './tempo-map.ts';
import { type BarPlan, type TimedBar, planUnit } from './timed-bars.ts';

/** @throws RangeError as {@link planUnit} does. */
export function layOutBars(unit: Unit, bpm: Bpm, options: LapOptions): readonly TimedBar[] {
  const bars = planUnit(unit, bpm);
  return placeInTime([
    ...countInPlans(bars[0]!, options.countIn),
    ...bars,
    ...restPlans(bars.at(-1)!, options.restBars),
  ]);
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
