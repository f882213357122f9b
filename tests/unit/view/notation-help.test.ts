// Every example of the help sheet, and the text a new chart starts with, is a chart without mistakes.
import { expect, test } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import {
  around,
  newChartText,
  notationHelp,
} from '../../../renderer/screens/charts/notation-help.ts';

const examples = notationHelp.flatMap((group) => group.lines);

test.each(examples.map((line) => [line.typed, line] as const))('%s', (_typed, line) => {
  expect(parseChart(around(line))).toMatchObject({ ok: true });
});

test('a new chart starts without mistakes, under the title it was given', () => {
  expect(parseChart(newChartText('Low Wall'))).toMatchObject({
    ok: true,
    value: { title: 'Low Wall' },
  });
});
