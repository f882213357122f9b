// The text a new chart starts with is a chart without mistakes.
import { expect, test } from 'vitest';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { newChartText } from '../../../../renderer/screens/charts/new-chart.ts';

test('it has the title it was given', () => {
  expect(parseChart(newChartText('Low Wall'))).toMatchObject({
    ok: true,
    value: { title: 'Low Wall' },
  });
});
