// Shapes that someone typed or clicked: refused with a sentence, named, and checked against a symbol.
import { describe, expect, test } from 'vitest';
import { parseFrets } from '../../../app/core/fretboard/frets.ts';
import { checkShape, fretsFromPlacements } from '../../../app/core/fretboard/check.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { chordNamed } from '../../support/chords.ts';
import { unwrap } from '../../../app/core/base/result.ts';

describe('dots put on the picture', () => {
  test('become frets; strings without one are muted', () =>
    expect(
      unwrap(
        fretsFromPlacements([
          { string: 5, fret: 3, finger: 3 },
          { string: 4, fret: 2, finger: 2 },
          { string: 3, fret: 0 },
          { string: 2, fret: 1, finger: 1 },
        ]),
      ),
    ).toEqual([null, 3, 2, 0, 1, null]));

  test('two notes on a string are refused', () =>
    expect(
      fretsFromPlacements([
        { string: 5, fret: 3 },
        { string: 5, fret: 2 },
      ]),
    ).toEqual({
      ok: false,
      problems: [
        {
          code: 'two-notes-on-a-string',
          message: 'String 5 has notes at frets 3 and 2, but a string sounds one note at a time.',
          cure: 'Take all but one of them away.',
        },
      ],
    }));

  test('a finger in two places is refused', () =>
    expect(
      fretsFromPlacements([
        { string: 5, fret: 3, finger: 3 },
        { string: 4, fret: 2, finger: 3 },
      ]),
    ).toMatchObject({
      ok: false,
      problems: [{ message: 'Finger 3 is in two places: string 5 fret 3 and string 4 fret 2.' }],
    }));

  test('one finger flat across a fret is fine, unless an open string lies under it', () => {
    const flat = [
      { string: 6, fret: 1, finger: 1 as const },
      { string: 1, fret: 1, finger: 1 as const },
    ];
    expect(fretsFromPlacements([...flat, { string: 3, fret: 2, finger: 2 }]).ok).toBe(true);
    expect(fretsFromPlacements([...flat, { string: 3, fret: 0 }]).ok).toBe(false);
  });
});

describe('a shape against its symbol', () => {
  const check = (text: string, symbol: string) =>
    checkShape(unwrap(parseFrets(text)), chordNamed(symbol), STANDARD);

  test('right: nothing to say', () => {
    const c = check('x32010', 'C');
    expect(c).toMatchObject({ verdict: 'right', sentences: [], playable: true });
    expect(c.names[0]!.symbol).toBe('C');
  });

  test('a note too many is said with its string', () =>
    expect(check('x32011', 'C')).toMatchObject({
      verdict: 'wrong',
      sentences: ['String 1 sounds F, which is not in C.'],
    }));

  test('wrong and lacking', () =>
    expect(check('x24442', 'Bm')).toMatchObject({
      verdict: 'wrong',
      sentences: ['String 2 sounds E♭, which is not in Bm.', 'Bm lacks the ♭3 (D).'],
    }));

  test('another bass', () =>
    expect(check('332010', 'C')).toMatchObject({
      verdict: 'incomplete',
      otherBass: 'G',
      sentences: ['The lowest note is G, not C.'],
    }));

  test('the fifth may be left out of a seventh chord, not of a triad', () => {
    expect(check('x32310', 'C7')).toMatchObject({ verdict: 'right', leftOut: ['5'], missing: [] });
    expect(check('xx2010', 'C/E').missing).toEqual([]);
    expect(check('x320xx', 'C').missing).toEqual([]);
    expect(check('x32xxx', 'C')).toMatchObject({ verdict: 'incomplete', missing: ['5'] });
  });

  test('more than four fingers', () =>
    expect(check('123456', 'F').sentences).toContain('No hand can hold it with four fingers.'));

  test('above a capo the names stay those that are fingered', () => {
    const neck = { ...USUAL_NECK, capo: 3 };
    const c = checkShape(unwrap(parseFrets('x02210')), chordNamed('Am'), STANDARD, neck);
    expect(c.verdict).toBe('right');
    expect(c.names[0]!.symbol).toBe('Am');
  });
});
