// Keys, transposition with the key's spelling, capo, numerals and scale numbers.
import { describe, expect, test } from 'vitest';
import type { SoundingChord } from '../../../app/core/model/chord.ts';
import { type Key, keyName, readKey, transposeKey } from '../../../app/core/harmony/key.ts';
import { romanNumeral, scaleNumber } from '../../../app/core/harmony/numeral.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { sayChord } from '../../../app/core/harmony/say.ts';
import { transposeSymbol } from '../../../app/core/harmony/transpose.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const key = (text: string): Key => unwrap(readKey(text));
const chord = (symbol: string) => unwrap(readChord(symbol)) as SoundingChord;

describe('keys', () => {
  // Signatures: circle of fifths, computable.
  test.each([
    ['G', 'G major', 1],
    ['F♯ minor', 'F♯ minor', 3],
    ['Bb', 'B♭ major', -2],
    ['Am', 'A minor', 0],
    ['e minor', 'E minor', 1],
    ['D dorian', 'D dorian', 0],
    ['G Mixolydian', 'G mixolydian', 0],
    // The hyphen as the sign for minor, and as what joins two words.
    ['A-', 'A minor', 0],
    ['B♭−', 'B♭ minor', -5],
    ['A-moll', 'A minor', 0],
    ['A-flat major', 'A♭ major', -4],
    ['B flat', 'B♭ major', -2],
    ['F sharp minor', 'F♯ minor', 3],
    ['Ami', 'A minor', 0],
    ['C min.', 'C minor', -3],
    ['A harmonic minor', 'A minor', 0],
    // Words of three letters: the ABC music standard 2.1, 3.1.14, with its example of one signature.
    ['D maj', 'D major', 2],
    ['A mix', 'A mixolydian', 2],
    ['E dor', 'E dorian', 2],
    ['B min', 'B minor', 2],
    ['B aeo', 'B minor', 2],
    ['F# phr', 'F♯ phrygian', 2],
    ['G lyd', 'G lydian', 2],
    ['C#loc', 'C♯ locrian', 2],
    ['D ion', 'D major', 2],
    ['d dorisch', 'D dorian', 0],
  ])('%s', (text, name, sharps) => {
    expect(keyName(key(text))).toBe(name);
    expect(key(text).sharps).toBe(sharps);
  });

  test('other words are refused with a cure', () =>
    expect(readKey('loud')).toMatchObject({ ok: false, problems: [{ code: 'key-unreadable' }] }));

  test('moved keys take the spelling with fewer signs', () => {
    expect(keyName(transposeKey(key('C'), 1))).toBe('D♭ major');
    expect(keyName(transposeKey(key('C'), 6))).toBe('F♯ major');
    expect(keyName(transposeKey(key('A minor'), 6))).toBe('E♭ minor');
    expect(keyName(transposeKey(key('E minor'), -3))).toBe('C♯ minor');
  });
});

describe('transposition', () => {
  test.each([
    ['G', 2, 'G', 'A'],
    ['D/F#', 1, 'G', 'Eb/G'],
    ['C#m7', -1, 'E', 'Cm7'],
    ['Bb', 2, 'F', 'C'],
    ['F#dim7', 3, 'G', 'Adim7'],
    ['Eb', 4, 'C', 'G'],
    ['Ab', 11, 'C', 'G'],
    ['A−7', 2, 'A minor', 'B-7'],
    ['N.C.', 5, 'C', 'N.C.'],
    ['E7#9', 0, 'A minor', 'E7#9'],
  ])('%s by %d in %s is %s', (symbol, by, from, expected) =>
    expect(unwrap(transposeSymbol(symbol, by, key(from)))).toBe(expected),
  );

  test('without a key each chord is spelled as at home', () => {
    expect(unwrap(transposeSymbol('C', 1))).toBe('Db');
    expect(unwrap(transposeSymbol('Cm', 1))).toBe('C#m');
  });

  test('up and back again is where it began, in every key', () => {
    for (const from of ['C', 'G', 'D', 'A', 'E', 'B', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'F#']) {
      for (const symbol of ['C', 'Dm7', 'E7', 'F#m7b5', 'Bb/D']) {
        for (let by = 1; by < 12; by++) {
          const there = unwrap(transposeSymbol(symbol, by, key(from)));
          const back = unwrap(transposeSymbol(there, -by, transposeKey(key(from), by)));
          expect(chord(back).pitchClasses, `${symbol} ${by} ${from}`).toEqual(
            chord(symbol).pitchClasses,
          );
        }
      }
    }
  });

  test('an unreadable symbol stays a problem', () =>
    expect(transposeSymbol('Hm', 2).ok).toBe(false));
});

test('capo: what sounds above it', () => {
  expect(unwrap(transposeSymbol('G', 2, key('G')))).toBe('A');
  expect(unwrap(transposeSymbol('Em7/D', 3, key('G')))).toBe('Gm7/F');
});

describe('numerals and numbers in C', () => {
  // Common practice, no source; the library `tonal` agrees on the part before the quality (see tests/reference).
  test.each([
    ['Dm7', 'ii7', '2m7'],
    ['G7', 'V7', '5(7)'],
    ['Bb', '♭VII', '♭7'],
    ['Bm7b5', 'viiø7', '7m7♭5'],
    ['C/E', 'I/3', '1/3'],
    ['F#dim', '♯iv°', '♯4dim'],
    ['Fmaj7', 'IVmaj7', '4maj7'],
    ['E+', 'III+', '3aug'],
  ])('%s is %s, %s', (symbol, roman, number) => {
    expect(romanNumeral(chord(symbol), key('C'))).toBe(roman);
    expect(scaleNumber(chord(symbol), key('C'))).toBe(number);
  });

  test('in a minor key signs are against the major scale', () =>
    expect(romanNumeral(chord('F'), key('A minor'))).toBe('♭VI'));
});

test('for the screen reader', () => {
  expect(sayChord(chord('C#m7/B'))).toBe('C sharp minor seventh, B in the bass');
  expect(sayChord(chord('Ebmaj7#11'))).toBe('E flat major 7 sharp 11');
  expect(sayChord(unwrap(readChord('N.C.')))).toBe('no chord');
});
