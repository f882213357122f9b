// Swing: positions by hand from the definition of the ratio.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Feel } from '../../../app/core/model/chart.ts';
import { swung } from '../../../app/core/rhythm/swing.ts';
import { compare, rational, toNumber } from '../../../app/core/base/rational.ts';

const eighths: Feel = { kind: 'swing', value: 8, long: 2, short: 1 };
const sixteenths: Feel = { kind: 'swing', value: 16, long: 3, short: 2 };

describe('swung eighths at 2:1', () => {
  test.each([
    ['a beat stays', rational(3), rational(3)],
    ['the off-beat is the third triplet', rational(1, 2), rational(2, 3)],
    ['half of the long note', rational(1, 4), rational(1, 3)],
    ['half of the short note', rational(3, 4), rational(5, 6)],
  ])('%s', (_, at, expected) => {
    expect(swung(at, eighths)).toEqual(expected);
  });

  test('an eighth of pickup is the short note: it starts a third of a quarter before the bar', () => {
    // 4/4 with a pickup of one eighth leaves out 7/2 quarters; the note falls at 3 + 2/3 of the full bar.
    expect(swung(rational(0), eighths, rational(7, 2))).toEqual(rational(1, 6));
  });
});

test('swung sixteenths at 3:2 move the second of each pair inside an eighth', () => {
  expect(swung(rational(1, 4), sixteenths)).toEqual(rational(3, 10));
  expect(swung(rational(3, 4), sixteenths)).toEqual(rational(8, 10));
  expect(swung(rational(1, 2), sixteenths)).toEqual(rational(1, 2));
});

test('straight notes stay, and swing never changes the order of notes', () => {
  const positions = fc.record({ n: fc.nat(96), d: fc.constantFrom(1, 2, 3, 4, 6, 12) });
  fc.assert(
    fc.property(positions, positions, fc.constantFrom(eighths, sixteenths), (a, b, feel) => {
      const [first, second] = [rational(a.n, a.d), rational(b.n, b.d)];
      expect(swung(first, { kind: 'straight' })).toEqual(first);
      expect(Math.sign(compare(swung(first, feel), swung(second, feel)))).toBe(
        Math.sign(compare(first, second)),
      );
      expect(toNumber(swung(first, feel))).toBeGreaterThanOrEqual(toNumber(first));
    }),
  );
});
