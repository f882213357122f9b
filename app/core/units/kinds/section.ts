// A section, once through.
import { ok } from '../../base/result.ts';
import { sectionInContext } from '../bars/places.ts';
import { playBars } from '../bars/played-bars.ts';
import { type KindOfUnit, nowhereElse } from './kind.ts';

export const section: KindOfUnit<'section'> = {
  resolve(chart, ref) {
    const found = sectionInContext(chart, ref.section);
    if (!found.ok) return found;
    const { bars, before } = found.value;
    return ok({ name: ref.section, bars: playBars(chart, bars, before) });
  },
  list: ({ sections }) => sections.map(({ name }) => ({ kind: 'section', section: name })),
  placesLike: nowhereElse,
};
