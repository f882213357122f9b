// Several places of the form in a row.
import { fail, ok } from '../../base/result.ts';
import { entriesOf, formPlaces, placeName, soundingBefore } from '../bars/places.ts';
import { barsOfPlace, playBars } from '../bars/played-bars.ts';
import { type KindOfUnit, nowhereElse } from './kind.ts';

export const stretch: KindOfUnit<'stretch'> = {
  resolve(chart, ref) {
    const places = formPlaces(chart);
    if (!places.ok) return places;
    const [first, last] = [places.value[ref.fromEntry], places.value[ref.toEntry]];
    if (!first || !last || ref.fromEntry > ref.toEntry) {
      return fail({
        code: 'unit-stretch-gone',
        message: `the form has ${places.value.length} entries; this stretch runs from entry ${ref.fromEntry + 1} to ${ref.toEntry + 1}`,
        cure: 'Choose its first and last section in the form again.',
      });
    }
    const bars = places.value.slice(ref.fromEntry, ref.toEntry + 1).flatMap(barsOfPlace);
    const before = soundingBefore(chart, places.value, ref.fromEntry, 0);
    const names = [first, last].map((place) => placeName(place, places.value));
    const name = first === last ? names[0]! : `From ${names[0]} to ${names[1]}`;
    return ok({ name, bars: playBars(chart, bars, before) });
  },
  list: nowhereElse,
  placesLike(chart, ref) {
    const length = ref.toEntry - ref.fromEntry;
    return entriesOf(chart).map((entry) => ({
      ...ref,
      fromEntry: entry,
      toEntry: entry + length,
    }));
  },
};
