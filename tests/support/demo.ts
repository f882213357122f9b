// One of the charts that a new library starts with, by its name.
import type { Chart } from '../../app/core/model/chart.ts';
import { demoCharts } from '../../app/services/machine/demo-charts.ts';

export const demoNamed = (
  name: 'rain-on-the-kettle' | 'low-tide-lanterns' | 'paper-streetcar' | 'copper-staircase',
): Chart => demoCharts().find(({ id }) => id === `demo-${name}`)!;
