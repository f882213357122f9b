// Lead lines where they are played: the parts of a section's lines, bar by bar.
import { realiseLead, type PlayedPart } from '../../lead/realise.ts';
import type { Rational } from '../../base/rational.ts';
import type { ChartBody, Section } from '../../model/chart.ts';
import type { PlayedLead } from '../../model/unit.ts';
import { writtenBars } from './written-bars.ts';
import type { Lead } from '../../model/lead.ts';

/** Lengths of the section's bars from the lead's first bar on, in quarter notes. */
export const leadLengths = (
  chart: Pick<ChartBody, 'meter'>,
  section: Section,
  lead: Pick<Lead, 'bar'>,
): readonly Rational[] =>
  writtenBars(section.bars, section.meter ?? chart.meter)
    .slice(lead.bar - 1)
    .map((bar) => bar.length);

/** The parts of a lead that can be played. */
export const partsOf = (chart: ChartBody, section: Section, lead: Lead): readonly PlayedPart[] =>
  realiseLead(lead, chart, leadLengths(chart, section, lead)).parts;

/** What lead lines play in each written bar of a section, by the bar's number. */
export function leadsByBar(
  chart: ChartBody,
  section: Section,
): ReadonlyMap<number, readonly PlayedLead[]> {
  const byBar = new Map<number, PlayedLead[]>();
  for (const lead of section.leads ?? []) {
    for (const { name, bars } of partsOf(chart, section, lead)) {
      for (const start of [lead.bar, ...(lead.again ?? [])]) {
        bars.forEach((bar, i) => {
          const played = { lead: lead.name, part: name, bar };
          byBar.set(start + i, [...(byBar.get(start + i) ?? []), played]);
        });
      }
    }
  }
  return byBar;
}
