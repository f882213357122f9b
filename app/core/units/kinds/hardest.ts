// The hardest few changes of a section, each back and forth.
import { fail, ok } from '../../base/result.ts';
import { hardestBars } from '../bars/hardest-bars.ts';
import { unitOf } from '../bars/unit-of.ts';
import { type KindOfUnit, nowhereElse } from './kind.ts';
import { section } from './section.ts';

export const hardest: KindOfUnit<'hardest'> = {
  resolve(chart, ref) {
    const around = section.resolve(chart, { kind: 'section', section: ref.section });
    if (!around.ok) return around;
    const bars = hardestBars(unitOf(chart, ref, '', around.value), chart.shapes);
    if (bars.length === 0) {
      return fail({
        code: 'unit-hardest-none',
        message: `‘${ref.section}’ has no change from one chord to another`,
        cure: 'Choose a section with two chords or more.',
      });
    }
    return ok({ name: `Hardest changes of ${ref.section}`, bars });
  },
  list: ({ sections }) => sections.map(({ name }) => ({ kind: 'hardest', section: name })),
  placesLike: nowhereElse,
};
