// Everything that the trade writes is read as what it means, and printed in one spelling.
import { describe, expect, test } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { inNames } from '../../../app/core/harmony/note-names.ts';
import { transposeSymbol } from '../../../app/core/harmony/transpose.ts';
import type { Chord } from '../../../app/core/model/chord.ts';
import { printChord } from '../../../app/core/harmony/print.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { readQuality } from '../../../app/core/harmony/quality.ts';
import { QUALITIES } from '../../../app/core/harmony/vocabulary.ts';
import { FRESH } from './fresh-spellings.ts';
import { GERMAN, SUFFIXES, SYMBOLS } from './spellings.ts';

/** "no_chord" is typed with a space; a trailing "?" marks what was considered and left out as unclear. */
const each = (spellings: string): string[] =>
  spellings
    .split(' ')
    .filter((one) => !one.endsWith('?'))
    .map((one) => (one === '_' ? '' : one.replace(/_/g, ' ')));

const ROOTS = ['C', 'F#', 'Bb', 'E', 'A♭'];
const ascii = (root: string) => root.replace('♭', 'b');

test('there are more than 500 of them', () => {
  const all = [...SUFFIXES, ...SYMBOLS, ...GERMAN].flatMap(([, spellings]) => each(spellings));
  expect(all.length).toBeGreaterThan(500);
});

describe('after a root', () => {
  test.each(SUFFIXES)('%s', (quality, spellings) => {
    for (const suffix of each(spellings)) {
      for (const root of ROOTS) {
        // "B♭5" is the power chord on B flat; such a spelling needs its brackets.
        if (/^[#b♯♭]/.test(suffix)) continue;
        const read = chordOf(root + suffix);
        expect([root + suffix, read.kind === 'chord' && read.quality]).toEqual([
          root + suffix,
          quality,
        ]);
        const house = printChord(read);
        expect(house.startsWith(ascii(root))).toBe(true);
        expect(printChord(chordOf(house))).toBe(house);
      }
    }
  });
});

test.each(SYMBOLS)('%s', (house, spellings) => {
  for (const symbol of each(spellings)) {
    expect([symbol, printChord(chordOf(symbol))]).toEqual([symbol, house]);
  }
});

test.each(GERMAN)('in German names, %s', (house, spellings) => {
  for (const symbol of each(spellings)) {
    const read = chordOf(symbol, 'german');
    expect([symbol, printChord(read)]).toEqual([symbol, house]);
    const back = printChord(read, 'german');
    expect(printChord(chordOf(back, 'german'))).toBe(house);
  }
});

test('spellings written down before the reader was looked at', () => {
  const meaning = (symbol: string) => {
    const chord = chordOf(symbol);
    return chord.kind === 'chord' ? [chord.root, chord.quality, chord.bass] : [chord.kind];
  };
  for (const [typed, meant] of FRESH) {
    expect([typed, ...meaning(typed)]).toEqual([typed, ...meaning(meant)]);
    expect(chordOf(meant).kind).not.toBe('unread');
  }
});

test('the house spelling of every quality of the vocabulary is read as itself', () => {
  for (const { name, intervals } of QUALITIES) {
    expect(readQuality(name)?.name).toBe(name);
    expect([name, readQuality(name)?.intervals]).toEqual([name, intervals]);
  }
});

/** Typed by mistake, or in another language, and what was meant. */
const REFUSED: readonly (readonly [typed: string, meant: string])[] = [
  ['Hm', 'Bm'],
  ['H7', 'B7'],
  ['Hmaj7', 'Bmaj7'],
  ['Fis', 'F#'],
  ['Fism7', 'F#m7'],
  ['Cism', 'C#m'],
  ['Es', 'Eb'],
  ['Es7', 'Eb7'],
  ['As', 'Ab'],
  ['Asmaj7', 'Abmaj7'],
  ['Des', 'Db'],
  ['Gis', 'G#'],
  ['Sol', 'G'],
  ['Sol7', 'G7'],
  ['Lam', 'Am'],
  ['Lam7', 'Am7'],
  ['Rem', 'Dm'],
  ['Mim', 'Em'],
  ['Fa', 'F'],
  ['Sib', 'Bb'],
  ['Sim', 'Bm'],
  ['Fa#m', 'F#m'],
  ['a', 'A'],
  ['g7', 'G7'],
  ['e', 'E'],
  ['Amoll', 'Am'],
  ['Cdur', 'C'],
  ['Cmaj8', 'Cmaj7'],
  ['Amn7', 'Am7'],
  ['Amim', 'Am'],
  ['Amnor', 'Am'],
  ['Gsuss4', 'Gsus4'],
  ['Gsu4', 'Gsus4'],
  ['Gssu4', 'Gsus4'],
  ['Dsus44', 'Dsus4'],
  ['Dsus3', 'Dsus4'],
  ['Fmja7', 'Fmaj7'],
  ['Fmaj77', 'Fmaj7'],
  ['Fmajj7', 'Fmaj7'],
  ['Cmm7', 'Cm7'],
  ['Cm77', 'Cm7'],
  ['C77', 'C7'],
  ['Caddd9', 'Cadd9'],
  ['Cad9', 'Cadd9'],
  ['Cadd99', 'Cadd9'],
  ['Bdmi', 'Bdim'],
  ['Bdimm', 'Bdim'],
  ['Bdim77', 'Bdim7'],
  ['Caugg', 'Caug'],
  ['Cagu', 'Caug'],
  ['G/', 'G'],
  ['Am.', 'Am'],
  ['Am?', 'Am'],
  ['D*', 'D'],
  ['F#mm', 'F#m'],
  ['C#mmm', 'C#m'],
  ['Bbmm7', 'Bbm7'],
  ['Gmz7', 'Gm7'],
  ['E8', 'E6'],
  ['Ab77', 'Ab7'],
  ['Gmqj7', 'Gmaj7'],
  ['Cx', 'C'],
  ['Dmk', 'Dm'],
  ['Em/x', 'Em'],
];

// Two flats after a root, and a five or a sign after them, are where symbols run together: "Abb5", "F#b5".
test.each(['C', 'F#', 'Bb', 'Eb', 'Abb', 'C##'])(
  'moved, and in German names and back, every chord on %s stays what it is',
  (root) => {
    const heard = (chord: Chord) =>
      chord.kind === 'chord' && [chord.quality, chord.rootPc, chord.bassPc];
    for (const suffix of SUFFIXES.flatMap(([, spellings]) => each(spellings))) {
      for (const bass of ['', '/E', '/Bb']) {
        const symbol = `${root}${suffix}${bass}`;
        const chord = chordOf(symbol);
        if (chord.kind !== 'chord') continue;
        for (const by of [-1, 1, 6]) {
          const up = (pc: number) => (pc + by + 12) % 12;
          expect([symbol, by, heard(chordOf(unwrap(transposeSymbol(symbol, by))))]).toEqual([
            symbol,
            by,
            [chord.quality, up(chord.rootPc), up(chord.bassPc)],
          ]);
        }
        const german = chordOf(inNames(symbol, 'german'), 'german');
        expect([symbol, heard(german)]).toEqual([symbol, heard(chord)]);
        expect([symbol, heard(chordOf(printChord(chord)))]).toEqual([symbol, heard(chord)]);
      }
    }
  },
);

test('what cannot be read gets the right suggestion in nine cases of ten', () => {
  const wrong = REFUSED.flatMap(([typed, meant]) => {
    const read = chordOf(typed);
    expect(read.kind, typed).toBe('unread');
    const offered =
      read.kind === 'unread' ? /Did you mean (.+)\?$/.exec(read.problem.cure)?.[1] : undefined;
    return offered === meant ? [] : [`${typed} → ${offered}, meant ${meant}`];
  });
  expect(wrong.length / REFUSED.length, wrong.join('\n')).toBeLessThanOrEqual(0.1);
});
