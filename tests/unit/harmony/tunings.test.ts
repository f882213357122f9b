// Tunings by name and by six notes.
import { expect, test } from 'vitest';
import { readTuning, TUNINGS, tuningNotes } from '../../../app/core/harmony/tunings.ts';
import { unwrap } from '../../../app/core/base/result.ts';

// Common practice, no source: the notes that the names stand for.
test.each([
  ['standard', 'E A D G B E'],
  ['drop D', 'D A D G B E'],
  ['half step down', 'E♭ A♭ D♭ G♭ B♭ E♭'],
  ['whole step down', 'D G C F A D'],
  ['open D', 'D A D F♯ A D'],
  ['open G', 'D G D G B D'],
  ['DADGAD', 'D A D G A D'],
])('%s is %s', (name, notes) => {
  expect(tuningNotes(unwrap(readTuning(name)))).toBe(notes);
  expect(unwrap(readTuning(notes)).strings).toEqual(TUNINGS.find((t) => t.name === name)!.strings);
});

test('octaves may be given', () =>
  expect(unwrap(readTuning('C2 G2 D3 G3 B3 E4')).strings).toEqual([36, 43, 50, 55, 59, 64]));

test('five notes, other words and slack strings are refused with a cure', () => {
  expect(readTuning('A D G B E')).toMatchObject({
    ok: false,
    problems: [{ code: 'tuning-unreadable' }],
  });
  expect(readTuning('very low')).toMatchObject({ ok: false });
  expect(readTuning('E0 A2 D3 G3 B3 E4')).toMatchObject({
    ok: false,
    problems: [{ message: 'String 6 of ‘E0 A2 D3 G3 B3 E4’ is tuned outside B1 to E5.' }],
  });
});
