// Rules for lead lines: names that can be pointed at, bars that exist, parts that hands can play.
import type { Problem } from '../../base/result.ts';
import { realiseLead } from '../../lead/realise.ts';
import { MAX_NAME } from '../../model/limits.ts';
import type { ChartBody, Section } from '../../model/chart.ts';
import type { Lead } from '../../model/lead.ts';
import { barNumber } from '../form/bar-number.ts';
import { leadLengths } from '../form/leads.ts';
import { isName } from './names.ts';
import { type ChartPlace, type ChartProblem, placed, problemAt } from './place.ts';

/** For sections whose bars hold: the lengths of bars are taken from them. */
export function checkLeads(chart: ChartBody, section: Section, index: number): ChartProblem[] {
  const leads = section.leads ?? [];
  return leads.flatMap((lead, at) => {
    const place = { section: index, lead: at };
    const label = `the lead line ‘${lead.name}’ of ‘${section.name}’`;
    const names = [
      ...checkName(lead.name, place, 'a lead line'),
      ...checkTwice(leads, at, place, `‘${section.name}’ has two lead lines`),
      ...lead.parts.flatMap((part, i) => [
        ...checkName(part.name, { ...place, part: i }, `a part of ${label}`),
        ...checkTwice(lead.parts, i, { ...place, part: i }, `${label} has two parts`),
      ]),
    ];
    return names.length > 0 ? names : checkPlayable(chart, section, lead, place, label);
  });
}

function checkName(name: string, place: ChartPlace, what: string): ChartProblem[] {
  if (isName(name)) return [];
  const message = `${what} cannot be called ‘${name.slice(0, MAX_NAME)}’`;
  return [
    problemAt(place, 'lead-name', message, `Use 1 to ${MAX_NAME} characters without [ ] | , : =`),
  ];
}

function checkTwice(
  all: readonly { readonly name: string }[],
  index: number,
  place: ChartPlace,
  what: string,
): ChartProblem[] {
  const { name } = all[index]!;
  if (all.findIndex((item) => item.name === name) === index) return [];
  return [
    problemAt(place, 'lead-named-twice', `${what} called ‘${name}’`, 'Give one another name.'),
  ];
}

function checkPlayable(
  chart: ChartBody,
  section: Section,
  lead: Lead,
  place: ChartPlace,
  label: string,
): ChartProblem[] {
  const starts = [lead.bar, ...(lead.again ?? [])];
  const written = lead.parts.flatMap((part) => (part.kind === 'written' ? [part.bars.length] : []));
  const length = Math.max(1, ...written);
  const problems = starts.flatMap((bar, i) => {
    const over = i === 0 ? bar : starts[i - 1]! + length;
    return startProblem(section, bar, over, label) ?? [];
  });
  if (problems.length > 0) return placed(problems, place);
  return starts.flatMap((bar) => {
    const found = realiseLead(lead, chart, leadLengths(chart, section, { bar }));
    return found.problems.flatMap(({ part, where, ...problem }) =>
      placed([problem], { ...place, part, ...(where && { where }) }, `‘${section.name}’`),
    );
  });
}

/** A lead starts in a bar of its section, and not before `over`, the first bar after the time before. */
function startProblem(
  { bars }: Section,
  bar: number,
  over: number,
  label: string,
): Problem | undefined {
  const number = barNumber(bars, bar - 1);
  const last = barNumber(bars, bars.length - 1);
  if (!(bar >= 1 && bar <= bars.length)) {
    const message = `${label} starts in bar ${number}; the section has ${last}`;
    return { code: 'lead-bar', message, cure: `Start it in a bar from 1 to ${last}.` };
  }
  if (bar >= over) return undefined;
  const message = `${label} starts again in bar ${number}, before it is over`;
  return { code: 'lead-again', message, cure: 'Let it end first: start it later.' };
}
