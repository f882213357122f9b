// The network's weights written down in two digits each, and read again.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { packWeights, unpackWeights } from '../../../app/core/ear/presence-code.ts';

test('whatever is packed comes back, two characters a weight', () =>
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -2048, max: 2047 })), (units) => {
      const packed = packWeights(units);
      expect(packed).toHaveLength(units.length * 2);
      expect(unpackWeights(packed)).toEqual(units);
    }),
  ));

test.each([2048, -2049, 0.5, NaN])('%d does not fit', (unit) =>
  expect(() => packWeights([0, unit])).toThrow(/is not a whole number from -2048 to 2047/),
);
