// The chart that a new library leads with is the first of those that come along.
import { expect, it } from 'vitest';
import { FIRST_CHART } from '../../../app/services/contract/first-chart.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';

it('is the first demo chart', () => {
  expect(demoCharts()[0]!.id).toBe(FIRST_CHART);
});
