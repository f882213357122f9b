// The picture of a shape in strings and frets, mirrored for the left hand, and in a sentence.
import { describe, expect, test } from 'vitest';
import { parseFrets } from '../../../../app/core/fretboard/frets.ts';
import { easiestFingering } from '../../../../app/core/fretboard/fingering.ts';
import { USUAL_NECK } from '../../../../app/core/fretboard/geometry.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { drawnShape, spokenShape } from '../../../../renderer/parts/shape/drawn-shape.ts';

function shape(text: string) {
  const frets = unwrap(parseFrets(text));
  return { frets, presses: easiestFingering(frets, USUAL_NECK)?.presses ?? [] };
}

test('an open shape starts at the nut', () => {
  const c = drawnShape(shape('x32010'), false);
  expect(c).toMatchObject({ firstFret: 1, rows: 4 });
  expect(c.tops).toEqual(['muted', 'stopped', 'stopped', 'open', 'stopped', 'open']);
  expect(c.presses).toContainEqual({ finger: 3, row: 2, left: 1, right: 1 });
});

test('a shape above fret 4 starts at its lowest fret, and is as long as it needs', () => {
  expect(drawnShape(shape('x79977'), false)).toMatchObject({ firstFret: 7, rows: 4 });
  expect(drawnShape({ frets: [null, 3, null, null, null, 8], presses: [] }, false)).toMatchObject({
    firstFret: 3,
    rows: 6,
  });
});

test('for the left hand the strings change sides, the barre with them', () => {
  const c = shape('x32010');
  expect(drawnShape(c, true).tops).toEqual(drawnShape(c, false).tops.toReversed());
  const f = shape('133211');
  expect(drawnShape(f, true).presses[0]).toEqual({ finger: 1, row: 0, left: 0, right: 5 });
  expect(drawnShape(f, true).presses[1]).toMatchObject({ finger: 2, left: 2, right: 2 });
  expect(drawnShape(f, false).presses[1]).toMatchObject({ finger: 2, left: 3, right: 3 });
});

describe('in a sentence', () => {
  test.each([
    [
      '133211',
      'barre at fret 1 with finger 1, strings 6 to 1; finger 2 on string 3, fret 2; ' +
        'finger 3 on string 5, fret 3; finger 4 on string 4, fret 3',
    ],
    [
      'xx0232',
      'finger 1 on string 3, fret 2; finger 2 on string 1, fret 2; finger 3 on string 2, fret 3; ' +
        'string 4 open; strings 6 and 5 muted',
    ],
    ['000000', 'strings 6, 5, 4, 3, 2 and 1 open'],
  ])('%s', (text, words) => expect(spokenShape(shape(text))).toBe(words));

  test('a shape that no hand can hold is said without fingers', () =>
    expect(spokenShape({ frets: unwrap(parseFrets('123456')), presses: [] })).toMatch(
      /^string 6 at fret 1; string 5 at fret 2/,
    ));
});
