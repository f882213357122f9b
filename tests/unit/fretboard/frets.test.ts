// Shapes as guitarists write them, from string 6 to string 1 (common practice, no source).
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseFrets, printFrets } from '../../../app/core/fretboard/frets.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { fretShapes } from '../chart/arbitrary.ts';

test('print and read are exact inverses', () => {
  fc.assert(
    fc.property(fretShapes, (frets) => {
      expect(unwrap(parseFrets(printFrets(frets)))).toEqual(frets);
    }),
  );
});

test.each([
  ['x32010', [null, 3, 2, 0, 1, 0]],
  ['X32010', [null, 3, 2, 0, 1, 0]],
  ['10.12.12.11.10.10', [10, 12, 12, 11, 10, 10]],
  ['x 12 14 14 13 x', [null, 12, 14, 14, 13, null]],
])('%s', (text, frets) => {
  expect(unwrap(parseFrets(text))).toEqual(frets);
});

test.each([
  ['x3201', 'shape-strings'],
  ['x.3.2.0.1.99', 'shape-fret'],
  ['x3201y', 'shape-fret'],
  ['xxxxxx', 'shape-silent'],
])('%s is refused', (text, code) => {
  expect(parseFrets(text)).toMatchObject({ ok: false, problems: [{ code }] });
});
