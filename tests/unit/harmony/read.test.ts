// Chord symbols in the spellings guitarists write, and what is offered when one cannot be read.
import { describe, expect, test } from 'vitest';
import type { SoundingChord } from '../../../app/core/model/chord.ts';
import { pretty } from '../../../app/core/harmony/notes.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const chord = (symbol: string): SoundingChord => {
  const read = unwrap(readChord(symbol));
  if (read.kind === 'silence') throw new Error(`${symbol} is silence`);
  return read;
};
const labels = (symbol: string) =>
  chord(symbol)
    .tones.map((tone) => tone.label)
    .join(' ');

describe('spellings of one quality give one quality', () => {
  test.each([
    ['maj7', 'Cmaj7 CΔ CΔ7 CM7 Cma7 CMa7 CMAJ7 Cmajor7 C(maj7)', '1 3 5 7'],
    ['m', 'Cm Cmin Cmi C- C− Cminor', '1 ♭3 5'],
    ['m7', 'Cm7 Cmin7 Cmi7 C-7 C−7 Cminor7', '1 ♭3 5 ♭7'],
    ['7#9', 'C7#9 C7♯9 C7(#9) C7+9', '1 3 5 ♭7 ♯9'],
    ['7b9', 'C7b9 C7♭9 C7(♭9) C7-9', '1 3 5 ♭7 ♭9'],
    ['sus4', 'Csus4 Csus C(sus4)', '1 4 5'],
    ['7sus4', 'C7sus4 C7sus', '1 4 5 ♭7'],
    ['add9', 'Cadd9 C(add9) C2', '1 3 5 9'],
    ['madd9', 'Cmadd9 Cm(add9) Cminadd9', '1 ♭3 5 9'],
    ['6/9', 'C6/9 C69 C6add9', '1 3 5 6 9'],
    ['m7b5', 'Cm7b5 Cm7♭5 Cm7-5 Cø Cø7 C-7b5 Cmin7(b5)', '1 ♭3 ♭5 ♭7'],
    ['dim', 'Cdim C° Co Cdiminished', '1 ♭3 ♭5'],
    ['dim7', 'Cdim7 C°7 Co7', '1 ♭3 ♭5 ♭♭7'],
    ['aug', 'Caug C+ C+5 Caugmented', '1 3 ♯5'],
    ['7#5', 'C7#5 C+7 Caug7 C7+ C7+5', '1 3 ♯5 ♭7'],
    ['m(maj7)', 'Cm(maj7) CmM7 Cmmaj7 CmMaj7 C-Δ7 Cm/maj7', '1 ♭3 5 7'],
    ['5', 'C5 C(no3)', '1 5'],
    ['', 'C CM Cmaj Cmajor', '1 3 5'],
  ])('%s', (quality, symbols, expected) => {
    for (const symbol of symbols.split(' ')) {
      expect(chord(symbol).quality, symbol).toBe(quality);
      expect(labels(symbol), symbol).toBe(expected);
    }
  });
});

describe('built up where the library has no name', () => {
  test.each([
    ['Cadd11', '1 3 5 11'],
    ['C7sus2', '1 2 5 ♭7'],
    ['Cmaj7sus2', '1 2 5 7'],
    ['C7no5', '1 3 ♭7'],
    ['C13no5', '1 3 ♭7 9 13'],
    ['Cmaj11', '1 3 5 7 9 11'],
    ['Cm7add13', '1 ♭3 5 ♭7 13'],
    ['C7(b9,#11)', '1 3 5 ♭7 ♭9 ♯11'],
    ['Csus#4', '1 5 ♯11'],
  ])('%s is %s', (symbol, expected) => expect(labels(symbol)).toBe(expected));
});

test('tones carry interval, label, semitones, spelled note and pitch class', () => {
  expect(chord('E♭m7').tones[1]).toEqual({
    interval: '3m',
    label: '♭3',
    semitones: 3,
    note: 'Gb',
    pitchClass: 6,
  });
});

test('a slash bass is kept apart from the tones but counts among the pitch classes', () => {
  const read = chord('Am/G');
  expect(read).toMatchObject({ root: 'A', bass: 'G', bassPc: 7, pitchClasses: [0, 4, 7, 9] });
  expect(read.tones.map((tone) => tone.note)).toEqual(['A', 'C', 'E']);
  expect(chord('C6/9/E')).toMatchObject({ bass: 'E', quality: '6/9' });
});

test.each(['N.C.', 'NC', 'n.c.', 'N. C.'])('%s is silence', (symbol) =>
  expect(unwrap(readChord(symbol)).kind).toBe('silence'),
);

describe('an unreadable symbol offers the nearest readable one', () => {
  test.each([
    ['Hm', 'Bm'],
    ['a7', 'A7'],
    ['Cmaj8', 'Cmaj7'],
    ['Amn7', 'Am7'],
    ['Gsuss4', 'Gsus4'],
    ['Gmz7/D', 'Gm7/D'],
    ['bb', 'Bb'],
    // Only a dominant chord is altered.
    ['Cmaj7alt', 'Cmaj7'],
    ['Dm7alt', 'Dm7'],
    ['Gdimalt', 'Gdim'],
  ])('%s → %s', (typed, offered) => {
    const read = readChord(typed);
    expect(read).toMatchObject({
      ok: false,
      problems: [{ code: 'chord-unreadable', cure: `Did you mean ${offered}?` }],
    });
    expect(readChord(offered).ok).toBe(true);
  });

  test('an empty symbol says so', () =>
    expect(readChord(' ')).toMatchObject({
      ok: false,
      problems: [{ message: 'A chord symbol is empty.' }],
    }));
});

test('signs for the eye', () => {
  expect(pretty('Bbm7b5/Gb')).toBe('B♭m7♭5/G♭');
  expect(pretty('F#7#9')).toBe('F♯7♯9');
  expect(pretty('Bsus4')).toBe('Bsus4');
});
