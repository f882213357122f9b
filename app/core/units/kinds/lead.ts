// One part of a lead, with as much around it as asked; its chords go on underneath.
import { type Problem, type Result, fail, ok } from '../../base/result.ts';
import { findSection } from '../../chart/form/form.ts';
import { partsOf } from '../../chart/form/leads.ts';
import type { ChartBody, Section } from '../../model/chart.ts';
import type { UnitRef } from '../../model/unit.ts';
import { bars } from './bars.ts';
import type { UnitContent } from '../bars/unit-of.ts';
import { type KindOfUnit, nowhereElse } from './kind.ts';
import { section } from './section.ts';

export const lead: KindOfUnit<'lead'> = {
  resolve(chart, ref) {
    const home = findSection(chart, ref.section);
    const lead = home?.leads?.find((one) => one.name === ref.lead);
    const part = home && lead && partsOf(chart, home, lead).find((p) => p.name === ref.part);
    if (!home || !lead || !part) return fail(leadGone(ref));
    const around = barsAround(chart, ref, home, {
      from: lead.bar,
      to: lead.bar + part.bars.length - 1,
    });
    if (!around.ok) return around;
    const name = `${ref.lead}, ${ref.part} (${around.value.name})`;
    return ok({ name, bars: around.value.bars, lead: { lead: ref.lead, part: ref.part } });
  },
  list: leadsOf,
  placesLike: nowhereElse,
};

function barsAround(
  chart: ChartBody,
  { reach }: UnitRef<'lead'>,
  home: Section,
  own: Pick<UnitRef<'bars'>, 'from' | 'to'>,
): Result<UnitContent> {
  if (reach === 'section') return section.resolve(chart, { kind: 'section', section: home.name });
  const more = reach === 'neighbours' ? 1 : 0;
  const from = Math.max(1, own.from - more);
  const to = Math.min(home.bars.length, own.to + more);
  return bars.resolve(chart, { kind: 'bars', section: home.name, from, to });
}

function leadsOf(chart: ChartBody): UnitRef<'lead'>[] {
  return chart.sections.flatMap((section) =>
    (section.leads ?? []).flatMap((lead) =>
      partsOf(chart, section, lead).map((part) => ({
        kind: 'lead' as const,
        section: section.name,
        lead: lead.name,
        part: part.name,
        reach: 'alone' as const,
      })),
    ),
  );
}

const leadGone = (ref: UnitRef<'lead'>): Problem => ({
  code: 'unit-lead-gone',
  message: `‘${ref.section}’ has no playable lead line ‘${ref.lead}’ with a part ‘${ref.part}’`,
  cure: 'Choose the lead from the chart again, or write it again under that name.',
});
