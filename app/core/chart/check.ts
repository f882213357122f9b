// What makes a chart sound: every rule of the model that its types cannot state, with place and cure.
import type { ChartBody } from '../model/chart.ts';
import { checkForm } from './rules/form.ts';
import { checkHead } from './rules/head.ts';
import type { ChartProblem } from './rules/place.ts';
import { checkSections } from './rules/sections.ts';

/** All problems of a chart, in the order of the chart; none means that every unit of it resolves. */
export function checkChart(chart: ChartBody): readonly ChartProblem[] {
  const problems = [...checkHead(chart), ...checkSections(chart)];
  return [...problems, ...checkForm(chart, problems.length === 0)];
}
