// Rules for sections: names that can be pointed at, heads that can be read, at least one bar.
import type { ChartBody, Section } from '../../model/chart.ts';
import { MAX_NAME, MAX_SECTIONS, MAX_SECTION_BARS } from '../../model/limits.ts';
import { checkMeter } from '../../rhythm/meter.ts';
import { checkStrum } from '../../rhythm/strum.ts';
import { unnumbered } from '../form/bar-number.ts';
import { checkBars, checkRepeats } from './bars.ts';
import { checkFeel, checkTempo, problemsOf } from './head.ts';
import { checkBorrowed } from './borrowed.ts';
import { checkLeads } from './leads.ts';
import { checkTexts } from './marks.ts';
import { isName } from './names.ts';
import { type ChartProblem, placed, problemAt } from './place.ts';

/** What is wrong with the sections: their number, their names, their bars; empty where nothing is. */
export function checkSections(chart: ChartBody): ChartProblem[] {
  const { sections } = chart;
  if (sections.length === 0 || sections.length > MAX_SECTIONS) {
    const cure = `Write 1 to ${MAX_SECTIONS}, each under its name, e.g. [Verse].`;
    return [problemAt({}, 'chart-sections', `the chart has ${sections.length} sections`, cure)];
  }
  return sections.flatMap((section, index) => [
    ...checkName(sections, index),
    ...checkSectionHead(section, index),
    ...checkSectionBars(chart, section, index),
    ...checkTexts(section, index),
    ...checkBorrowed(chart, section, index),
  ]);
}

function checkName(sections: readonly Section[], index: number): ChartProblem[] {
  const name = sections[index]!.name;
  if (sections.findIndex((section) => section.name === name) < index) {
    const message = `the chart has two sections called ‘${name}’`;
    return [problemAt({ section: index }, 'section-twice', message, 'Give one another name.')];
  }
  if (isName(name) && !/\s[x×]\d+$/u.test(name)) return [];
  const message = `section ${index + 1} cannot be called ‘${name.slice(0, MAX_NAME)}’`;
  const cure = `Use 1 to ${MAX_NAME} characters without [ ] | , : = and without x2 at the end.`;
  return [problemAt({ section: index }, 'section-name', message, cure)];
}

function checkSectionHead(section: Section, index: number): ChartProblem[] {
  const { tempo, meter, feel, strum, name } = section;
  const at = { section: index };
  const label = `‘${name}’`;
  return [
    ...(tempo ? placed(problemsOf(checkTempo(tempo)), { ...at, field: 'tempo' }, label) : []),
    ...(meter ? placed(problemsOf(checkMeter(meter)), { ...at, field: 'meter' }, label) : []),
    ...(feel ? placed(problemsOf(checkFeel(feel)), { ...at, field: 'feel' }, label) : []),
    ...(strum ? placed(problemsOf(checkStrum(strum)), { ...at, field: 'strum' }, label) : []),
  ];
}

function checkSectionBars(chart: ChartBody, section: Section, index: number): ChartProblem[] {
  const count = section.bars.length;
  if (count === 0 || count > MAX_SECTION_BARS) {
    const message =
      count === 0 ? `‘${section.name}’ has no bars` : `‘${section.name}’ has ${count} bars`;
    const cure =
      count === 0
        ? 'Write at least one, e.g. | G |.'
        : `Keep ${MAX_SECTION_BARS}; split the rest off.`;
    return [problemAt({ section: index }, 'section-bars', message, cure)];
  }
  const context = {
    place: { section: index },
    section: section.name,
    firstNumber: 1,
    skip: unnumbered(section.bars),
    meter: section.meter ?? chart.meter,
    feel: section.feel ?? chart.feel,
    names: chart.names,
  };
  const problems = checkBars(section.bars, context);
  if (problems.length > 0) return problems;
  return [...checkRepeats(section.bars, context), ...checkLeads(chart, section, index)];
}
