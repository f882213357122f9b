// What the rules of a chart find in a typed one, told at its place in the text and never twice.
import type { TextSpan } from '../../base/result.ts';
import type { ChartBody } from '../../model/chart.ts';
import { checkChart } from '../check.ts';
import type { ChartPlace } from '../rules/place.ts';
import type { Findings } from './findings.ts';
import type { BuiltEntry } from './form-entries.ts';
import { withPartCure } from './lead-lines.ts';
import { type ChartLines, type Value, spanOf } from './lines.ts';
import { START } from './problems.ts';
import type { BuiltSection } from './sections.ts';

/** A chart as it was read, beside the lines it was read from. */
export interface ReadParts {
  readonly lines: ChartLines;
  readonly sections: readonly BuiltSection[];
  readonly entries: readonly BuiltEntry[];
}

/** Leaves out what only follows from a line that could not be read. */
export function findByRules(chart: ChartBody, parts: ReadParts, found: Findings): void {
  const { lines, sections } = parts;
  const flawless = found.problems.length === 0;
  for (const { place, ...problem } of checkChart(chart)) {
    if (problem.code === 'section-bars' && lacksBars(lines, place.section, found)) continue;
    if (problem.code === 'chart-sections' && found.isMeant(/^\[/mu)) continue;
    // Without a section there is no order of them, either.
    if (problem.code === 'form-entries' && sections.length === 0) continue;
    const span = spanIn(parts, place);
    const block = lines.sections[place.section ?? -1]?.leads[place.lead ?? -1];
    const told = block && withPartCure(problem, block, place, chart);
    // A line that could not be read is not blamed again for what stands in for it.
    if (flawless || !found.isKnown(span)) found.say(told ?? { ...problem, span });
  }
}

/** A section without bars is not blamed as well where they could not be read, or those it borrows not be found. */
function lacksBars(
  { sections }: ChartLines,
  section: number | undefined,
  found: Findings,
): boolean {
  const lines = sections[section ?? -1];
  const like = lines?.values.like;
  if (like !== undefined && found.isKnown(spanOf(like))) return true;
  const next = sections[(section ?? -1) + 1]?.name.line ?? Infinity;
  return lines !== undefined && found.isMeant(/^:?\|/mu, lines.name.line, next);
}

function spanIn({ lines, sections, entries }: ReadParts, place: ChartPlace): TextSpan {
  const { section, form, bar, chord, lead, part } = place;
  const bars = section !== undefined ? sections[section]?.bars : entries[form ?? -1]?.bars;
  const built = bar === undefined ? undefined : bars?.[bar];
  if (built) return (chord === undefined ? undefined : built.chordSpans[chord]) ?? built.span;
  const block = lead === undefined ? undefined : lines.sections[section ?? -1]?.leads[lead];
  const value = block
    ? ((part === undefined ? undefined : block.parts[part]?.text) ?? block.head)
    : valueAt(lines, place);
  return value ? spanOf(value) : START;
}

function valueAt(
  { head, sections, shapes, form: formLines }: ChartLines,
  { section, form, field, shape }: ChartPlace,
): Value | undefined {
  if (shape !== undefined) return shapes[shape];
  if (section !== undefined) {
    const lines = sections[section];
    const values: Partial<Record<string, Value>> = lines?.values ?? {};
    return (field && values[field]) ?? lines?.name;
  }
  if (form !== undefined) return formLines.entries[form]?.head ?? formLines.at;
  if (field === 'form') return formLines.at;
  return field && field !== 'strum' ? head[field] : undefined;
}
