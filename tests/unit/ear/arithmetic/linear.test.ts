// What the network applies to rows of numbers, beside what the formulas say.
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { exponential, normalize, softmax } from '../../../../app/core/ear/arithmetic/linear.ts';

const rows = fc.array(fc.double({ min: -30, max: 30, noNaN: true }), {
  minLength: 8,
  maxLength: 8,
});

it('e^x is what the platform says, within 2 in ten million', () => {
  fc.assert(
    fc.property(fc.double({ min: -44, max: 0, noNaN: true }), (x) => {
      expect(Math.abs(exponential(x) / Math.exp(x) - 1)).toBeLessThan(2e-7);
    }),
  );
  expect(exponential(0)).toBe(1);
  expect(exponential(-1000)).toBe(0);
});

it('shares sum to 1 and stand as the exponentials do', () => {
  fc.assert(
    fc.property(rows, (row) => {
      const n = Float64Array.from(row);
      softmax(n, 0, row.length);
      const sum = row.reduce((total, x) => total + Math.exp(x), 0);
      row.forEach((x, i) => expect(n[i]).toBeCloseTo(Math.exp(x) / sum, 6));
    }),
  );
});

it('normalized rows have mean 0 and variance 1', () => {
  const scale = new Float64Array(8).fill(1);
  fc.assert(
    fc.property(rows, (row) => {
      const n = Float64Array.from([...row, ...row]);
      normalize(n, 0, 8, 1, [scale, new Float64Array(8)]);
      const mean = row.reduce((a, b) => a + b, 0) / 8;
      const spread = Math.sqrt(row.reduce((sum, x) => sum + (x - mean) ** 2, 0) / 8 + 1e-5);
      row.forEach((x, i) => expect(n[8 + i]).toBeCloseTo((x - mean) / spread, 6));
    }),
  );
});
