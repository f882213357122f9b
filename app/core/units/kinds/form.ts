// The whole song: the form from beginning to end.
import { ok } from '../../base/result.ts';
import { formPlaces } from '../bars/places.ts';
import { barsOfPlace, playBars } from '../bars/played-bars.ts';
import { type KindOfUnit, nowhereElse } from './kind.ts';

export const form: KindOfUnit<'form'> = {
  resolve(chart) {
    const places = formPlaces(chart);
    if (!places.ok) return places;
    return ok({
      name: 'The whole song',
      bars: playBars(chart, places.value.flatMap(barsOfPlace)),
    });
  },
  list: ({ form }) => (form.length > 0 ? [{ kind: 'form' }] : []),
  placesLike: nowhereElse,
};
