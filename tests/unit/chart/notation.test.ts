// The text form of a chart: what may be typed, what it means, and that printing is its exact inverse.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { unwrap } from '../../../app/core/result.ts';
import { charts } from './arbitrary.ts';

describe('printing and reading are exact inverses', () => {
  test('parse(print(chart)) is the chart, for any chart that holds', () => {
    fc.assert(
      fc.property(charts, (chart) => {
        expect(unwrap(parseChart(printChart(chart)))).toEqual(chart);
      }),
      { numRuns: 300 },
    );
  });
});
