// A join: the last bars of one place of the form straight into the first of the next.
import { type Problem, fail, ok } from '../../base/result.ts';
import { type FormPlace, unrollForm } from '../../chart/form/form.ts';
import type { ChartBody } from '../../model/chart.ts';
import type { UnitRef } from '../../model/unit.ts';
import { entriesOf, formPlaces, placeName, soundingBefore } from '../bars/places.ts';
import { barsOfPlace, playBars } from '../bars/played-bars.ts';
import type { KindOfUnit } from './kind.ts';

/** Bars on each side of a listed join (ours, no source): enough to arrive and to settle. */
const JOIN_BARS = 2;

export const join: KindOfUnit<'join'> = {
  resolve(chart, ref) {
    const places = formPlaces(chart);
    if (!places.ok) return places;
    const [left, right] = [places.value[ref.entry], places.value[ref.entry + 1]];
    if (!left || !right) return fail(joinGone(ref, places.value.length));
    if (ref.before < 1 || ref.after < 1) return fail(JOIN_EMPTY);
    for (const [place, wanted] of [
      [left, ref.before],
      [right, ref.after],
    ] as const) {
      if (wanted > place.bars.length) return fail(joinTooLong(place, wanted));
    }
    const start = left.bars.length - ref.before;
    const bars = [...barsOfPlace(left).slice(start), ...barsOfPlace(right).slice(0, ref.after)];
    const before = soundingBefore(chart, places.value, ref.entry, start);
    const name = `${placeName(left, places.value)} into ${placeName(right, places.value)}`;
    return ok({ name, bars: playBars(chart, bars, before) });
  },
  list: joinsOf,
  placesLike: (chart, ref) => entriesOf(chart).map((entry) => ({ ...ref, entry })),
};

function joinsOf(chart: ChartBody): UnitRef<'join'>[] {
  const places = unrollForm(chart);
  if (!places.ok) return [];
  return places.value.slice(1).map((right, entry) => ({
    kind: 'join',
    entry,
    before: Math.min(JOIN_BARS, places.value[entry]!.bars.length),
    after: Math.min(JOIN_BARS, right.bars.length),
  }));
}

const joinGone = (ref: UnitRef<'join'>, entries: number): Problem => ({
  code: 'unit-join-gone',
  message: `the form has ${entries} entries, so nothing follows entry ${ref.entry + 1}`,
  cure: 'Choose the join from the form again.',
});

const joinTooLong = (place: FormPlace, wanted: number): Problem => ({
  code: 'unit-join-long',
  message: `‘${place.section.name}’ has ${place.bars.length} bars; the join asks for ${wanted} of them`,
  cure: `Ask for at most ${place.bars.length}.`,
});

const JOIN_EMPTY: Problem = {
  code: 'unit-join-empty',
  message: 'a join needs at least one bar on each side',
  cure: 'Take one bar or more from both sections.',
};
