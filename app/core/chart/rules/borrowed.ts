// Rules for a section that takes its bars from another one: it stands above, and the bars are there.
import type { ChartBody, Section } from '../../model/chart.ts';
import { borrowedBars, borrowedHead } from '../form/borrowed.ts';
import { type ChartProblem, problemAt } from './place.ts';

/** Empty where the section borrows nothing, or all of it is there. @param index of the section, from 0 */
export function checkBorrowed(chart: ChartBody, section: Section, index: number): ChartProblem[] {
  const { like, name, bars } = section;
  if (!like) return [];
  const place = { section: index };
  const source = chart.sections.slice(0, index).find((other) => other.name === like.section);
  if (!source) {
    const message = `‘${name}’ borrows from ‘${like.section}’, which does not stand above it`;
    return [problemAt(place, 'like-section', message, 'Move it above, or write the bars out.')];
  }
  const { from = 1, to = source.bars.length } = like;
  const inside = from >= 1 && from <= to && to <= source.bars.length;
  if (!inside || (like.from === undefined) !== (like.to === undefined)) {
    const message = `‘${name}’ borrows bars ${from}–${to} of ‘${like.section}’`;
    return [problemAt(place, 'like-bars', message, `It has ${source.bars.length}.`)];
  }
  const borrowed = borrowedBars(source, like, chart.meter, section.meter ?? chart.meter);
  const head = borrowedHead(source);
  const lacks = (['tempo', 'meter', 'feel', 'strum'] as const).find(
    (key) => head[key] && !section[key],
  );
  if (bars.length >= borrowed.length && !lacks) return [];
  const message = lacks
    ? `‘${name}’ borrows from ‘${like.section}’ and has no ${lacks} of its own`
    : `‘${name}’ has ${bars.length} bars and borrows ${borrowed.length}`;
  return [problemAt(place, 'like-bars', message, 'Write its bars out instead.')];
}
