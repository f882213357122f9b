// The charts whose music is compared: today's demos, and 200 drawn from seeds.
import { unwrap } from '../../../app/core/base/result.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import { type AskedChart, askedCharts } from './first.ts';

export const demos = demoCharts();

export const chartOf = ({ name, text }: AskedChart): Chart => ({
  id: name,
  ...unwrap(parseChart(text)),
});

export const randomCharts = (): readonly Chart[] => askedCharts().map(chartOf);
