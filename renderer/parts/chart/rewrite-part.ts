// A chart with one part of one lead line written anew.
import type { ChartBody } from '../../../app/core/model/chart.ts';
import type { LeadBar } from '../../../app/core/model/lead.ts';

interface PartPlace {
  readonly section: string;
  readonly lead: string;
  readonly part: string;
}

/** The chart with other bars in one part of a lead; an unknown place changes nothing. */
export function rewritePart(
  chart: ChartBody,
  { section, lead, part }: PartPlace,
  bars: readonly LeadBar[],
): ChartBody {
  const sections = chart.sections.map((s) => {
    if (s.name !== section) return s;
    const leads = s.leads?.map((p) => {
      if (p.name !== lead) return p;
      const parts = p.parts.map((old) =>
        old.name === part ? { kind: 'written' as const, name: part, bars } : old,
      );
      return { ...p, parts };
    });
    return { ...s, ...(leads && { leads }) };
  });
  return { ...chart, sections };
}
