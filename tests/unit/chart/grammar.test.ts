// The grammar in the handbook and the reader agree: what one takes the other takes, and they know the same words.
import fs from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseTempo } from '../../../app/core/chart/notation/fields.ts';
import { FORM_START, HEAD_KEYS, SECTION_KEYS } from '../../../app/core/chart/notation/keys.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { BAND_LEVELS, BASS_WORDS, DRUMS_WORDS } from '../../../app/core/model/band.ts';
import { meterOf } from '../../../app/core/rhythm/meter.ts';
import { GRID_NAMES } from '../../../app/core/rhythm/strum.ts';
import { type Specials, accepts, readGrammar } from '../../support/ebnf.ts';
import { charts } from './arbitrary.ts';

const page = fs.readFileSync(
  new URL('../../../assets/handbook/notation.md', import.meta.url),
  'utf8',
);
const grammar = readGrammar(/^```ebnf\n([\s\S]*?)^```/mu.exec(page)![1]!);

/** Where a pattern may end: at every length of its match, or only at its longest. */
const every = (pattern: RegExp) => (text: string, at: number) => {
  const [found = ''] = pattern.exec(text.slice(at)) ?? [];
  return Array.from({ length: found.length }, (_, i) => at + i + 1);
};
const longest = (pattern: RegExp) => (text: string, at: number) => {
  const found = pattern.exec(text.slice(at));
  return found ? [at + found[0].length] : [];
};
const SPECIALS: Specials = new Map([
  ['a number, perhaps with a point', longest(/^\d+(?:\.\d+)?(?!\.?\d)/u)],
  [
    'a chord symbol, or N.C.',
    longest(/^(?:[A-H][^\s|()[\]{}"=]*(?:\([^\s()]*\)[^\s|()[\]{}"=]*)*|N\.C\.)/u),
  ],
  [
    'six frets from string 6 on; x is muted, dots part frets above 9',
    longest(/^(?:[\dx]{6}|[\dx]{1,2}(?:\.[\dx]{1,2}){5})/u),
  ],
  ['letters, digits and signs except [ ] | , : =', every(/^[^[\]|,:=\n]+/u)],
  ['anything up to the end of the line', longest(/^[^\n]+/u)],
  ['anything but a quotation mark', longest(/^[^"\n]+/u)],
  ['signs without a space or |', longest(/^[^\s|]+/u)],
  ['the end of the line, or of the text', longest(/^[ \t]*(?:\n|$)/u)],
]);
const isChart = (text: string) => accepts(grammar, 'chart', text, SPECIALS);

const HEAD = 'title: Example\nkey: G\ntempo: 96\n';
const examples = [...page.matchAll(/^```(chart|song|section|bars)\n([\s\S]*?)^```/gmu)].map(
  ([, kind, text]) =>
    kind === 'chart' ? text! : kind === 'song' ? HEAD + text! : `${HEAD}[Verse]\n${text!}`,
);

describe('sentences', () => {
  test.each(examples)('%s', (text) => expect(isChart(text)).toBe(true));

  test('whatever the printer prints', () => {
    fc.assert(
      fc.property(charts, (chart) => {
        const text = printChart(chart);
        expect(isChart(text), text).toBe(true);
      }),
      { numRuns: 25 },
    );
  });

  test.each([
    ['a section without its bracket', `${HEAD}[Verse\n| G |\n`],
    ['a strum without its notes', `${HEAD}[Verse]\nstrum: D- DU\n| G |\n`],
    ['an unknown drum', `${HEAD}drums: loud\n[Verse]\n| G |\n`],
    ['a tempo in words', 'title: T\ntempo: fast\n[Verse]\n| G |\n'],
    ['a brace that stays open', `${HEAD}[Verse]\n| G {eighths DU |\n`],
    ['a bend of two steps', `${HEAD}[Verse]\n| G |\nline: A, bar 1\npart B: | 3/7b2 |\n`],
  ])('neither takes %s', (_, text) => {
    expect(parseChart(text).ok).toBe(false);
    expect(isChart(text)).toBe(false);
  });
});

describe('words', () => {
  const words = [...grammar.terminals].filter((t) => /^\p{L}{2}/u.test(t));

  test.each([
    ...HEAD_KEYS.filter((key) => key !== 'id'),
    ...SECTION_KEYS,
    ...DRUMS_WORDS,
    ...BASS_WORDS,
    ...BAND_LEVELS,
    ...Object.values(GRID_NAMES),
    FORM_START[0]!,
  ])('the grammar has “%s”', (word) => expect(words).toContain(word));

  test('and no word that the reader does not know', () => {
    const known = new Set<string>([
      ...HEAD_KEYS,
      ...SECTION_KEYS,
      ...FORM_START,
      ...DRUMS_WORDS,
      ...BASS_WORDS,
      ...BAND_LEVELS,
      ...Object.values(GRID_NAMES),
    ]);
    expect(words.filter((word) => !known.has(word) && !isRead(word))).toEqual([]);
  });
});

/** A chart in which the word means something: without it, or misspelt, it cannot be read. */
const USES: readonly ((word: string) => string)[] = [
  (word) => `${HEAD}capo: ${word}\n[A]\n| G |`,
  (word) => `${HEAD}names: ${word}\n[A]\n| G |`,
  (word) => `${HEAD}feel: ${word}\n[A]\n| G |`,
  (word) => `${HEAD}feel: ${word} 8 2:1\n[A]\n| G |`,
  (word) => `${HEAD}${word} G = 320003\n[A]\n| G |`,
  (word) => `${HEAD}[A]\n| G |\n${word}: something`,
  (word) => `${HEAD}[A]\n| G |\n${word}: A, bar 1\npart B: | 1 3/7 |`,
  (word) => `${HEAD}[A]\n| G |\nline: A, bar 1\n${word} B: | 1 3/7 |`,
  (word) => `${HEAD}[A]\n| G | D |\n[B]\nlike: A, ${word} 1–2`,
  (word) => `${HEAD}[A]\n| G | D |\n[B]\nlike: A, bars 1 ${word} 2`,
  (word) => `${HEAD}[A]\n| G |\n[B]\nlike: A\n${word} 1: | D |`,
  (word) => `${HEAD}[A]\n| ${word} 1/4 D | G |`,
  (word) => `${HEAD}[A]\n| ${word}. = 80 G | D |`,
  (word) => `${HEAD}[A]\n| rit. = 80 G | ${word} D |`,
  (word) => `${HEAD}[A]\n| G ${word} | D |`,
  (word) => `${HEAD}[A]\n| rit. ${word} 80 G | D |`,
  (word) => `${HEAD}[A]\n| G | D |\nline: A, bars 1 ${word} 2\npart B: | 1 3/7 |`,
  (word) => `${HEAD}[A]\n| G |\nline: A, bar 1\npart B: | 1 3/5 |\npart C: B, ${word} up`,
  (word) => `${HEAD}[A]\n| G |\nline: A, bar 1\npart B: | 1 3/5 |\npart C: B, ${word} above`,
  (word) => `${HEAD}[A]\n| G |\nline: A, bar 1\npart B: | 1 1/15 |\npart C: B, octave ${word}`,
  (word) => `${HEAD}[A]\n| G |\nline: A, bar 1\npart B: | 1 3/5 |\npart C: B, third ${word}`,
  (word) => `${HEAD}[A]\n| G |\nform:\nA ${word} | C |`,
];

const isRead = (word: string): boolean =>
  parseTempo(`${word} = 96`, meterOf(4, 4)).ok ||
  USES.some((use) => parseChart(use(word)).ok && !parseChart(use(`z${word}z`)).ok);
