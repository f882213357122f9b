// Rules for the form: sections that exist, endings that fit, and no more bars than anyone plays.
import { editDistance } from '../../harmony/nearest.ts';
import { unnumbered } from '../form/bar-number.ts';
import { alterEnding, endingMeter, findSection, keptBars, playSection } from '../form/form.ts';
import {
  MAX_FORM_ENTRIES,
  MAX_PLAYED_BARS,
  MAX_SECTION_BARS,
  MAX_TIMES,
} from '../../model/limits.ts';
import type { AlteredEnding, ChartBody, FormEntry, Section } from '../../model/chart.ts';
import { checkBars } from './bars.ts';
import { type ChartProblem, problemAt } from './place.ts';

/** `sectionsHold`: the sections themselves have no problems, so that they can be unrolled. */
export function checkForm(chart: ChartBody, sectionsHold: boolean): ChartProblem[] {
  const { form } = chart;
  if (form.length === 0 || form.length > MAX_FORM_ENTRIES) {
    const cure = `List 1 to ${MAX_FORM_ENTRIES} sections in the order in which they are played.`;
    return [
      problemAt({ field: 'form' }, 'form-entries', `the form has ${form.length} entries`, cure),
    ];
  }
  const problems = form.flatMap((entry, index) => checkEntry(chart, entry, index, sectionsHold));
  return problems.length === 0 && sectionsHold ? checkLength(chart) : problems;
}

function checkEntry(
  chart: ChartBody,
  entry: FormEntry,
  index: number,
  sectionsHold: boolean,
): ChartProblem[] {
  const section = findSection(chart, entry.section);
  if (!section) return [unknownSection(chart, entry, index)];
  if (!Number.isInteger(entry.times) || entry.times < 1 || entry.times > MAX_TIMES) {
    const message = `the form plays ‘${entry.section}’ ${entry.times} times`;
    return [problemAt({ form: index }, 'form-times', message, `Use 1 to ${MAX_TIMES}.`)];
  }
  return entry.ending && sectionsHold ? checkEnding(chart, section, entry.ending, index) : [];
}

function unknownSection(chart: ChartBody, entry: FormEntry, index: number): ChartProblem {
  const near = chart.sections
    .map(({ name }) => ({ name, distance: editDistance(entry.section.slice(0, 80), name) }))
    .toSorted((a, b) => a.distance - b.distance)[0];
  const cure =
    near && near.distance <= 3
      ? `Did you mean ‘${near.name}’?`
      : 'Write the section, or leave it out.';
  const message = `the form plays ‘${entry.section.slice(0, 80)}’, which is not in the chart`;
  return problemAt({ form: index }, 'form-section', message, cure);
}

function checkEnding(
  chart: ChartBody,
  section: Section,
  ending: AlteredEnding,
  index: number,
): ChartProblem[] {
  const played = playSection(chart, section);
  if (!played.ok) return [];
  const count = ending.bars.length;
  const most = ending.kind === 'replace' ? played.value.length : MAX_SECTION_BARS;
  if (count < 1 || count > most) {
    const message = `the altered ending of ‘${section.name}’ has ${count} bars; it can have 1 to ${most}`;
    return [
      problemAt({ form: index }, 'ending-bars', message, 'Write as many bars as it changes.'),
    ];
  }
  const kept = keptBars(played.value, ending);
  const before = kept > 0 ? (played.value[kept - 1]!.pickup ? section.bars[0]! : {}) : undefined;
  const bars = checkBars(ending.bars, {
    place: { form: index },
    section: section.name,
    firstNumber: section.bars.length + 1,
    skip: unnumbered(section.bars),
    meter: endingMeter(played.value, ending),
    feel: section.feel ?? chart.feel,
    names: chart.names,
    ...(before && { before }),
  });
  return [...bars, ...checkPlain(section, ending, index)];
}

function checkPlain(section: Section, ending: AlteredEnding, index: number): ChartProblem[] {
  const bar = ending.bars.findIndex((b) => b.repeatStart || b.repeatEnd !== undefined || b.endings);
  if (bar < 0) return [];
  const message = `the altered ending of ‘${section.name}’ has repeat signs`;
  return [problemAt({ form: index, bar }, 'ending-repeats', message, 'Write its bars out.')];
}

function checkLength(chart: ChartBody): ChartProblem[] {
  let bars = 0;
  for (const entry of chart.form) {
    const section = findSection(chart, entry.section)!;
    const played = playSection(chart, section);
    if (!played.ok) return [];
    const last = entry.ending ? alterEnding(played.value, section, entry.ending) : played.value;
    bars += played.value.length * (entry.times - 1) + last.length;
  }
  if (bars <= MAX_PLAYED_BARS) return [];
  const message = `the form plays ${bars} bars`;
  return [problemAt({ field: 'form' }, 'form-long', message, `Keep it to ${MAX_PLAYED_BARS}.`)];
}
