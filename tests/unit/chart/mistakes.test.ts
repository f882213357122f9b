// Forty typing mistakes of a new user: each is named where it stands, and its cure, carried out, takes it away.
import { expect, test } from 'vitest';
import { readTypedChart } from '../../../app/core/chart/notation/parse.ts';
import type { TextEdit } from '../../../app/core/base/result.ts';

const GOOD = 'title: Low Tide\nkey: G\ntempo: 96\n[Verse]\n| G | D |\n';
const verse = (bars: string): string => `title: Low Tide\nkey: G\ntempo: 96\n[Verse]\n${bars}\n`;
const head = (lines: string): string => `${lines}\n[Verse]\n| G | D |\n`;

/** The text with the edits of one cure carried out, last first. */
function mended(text: string, edits: readonly TextEdit[]): string {
  const lines = text.split('\n');
  const last = [...edits].sort((a, b) => b.line - a.line || b.column - a.column);
  for (const { line, column, length, text: put } of last) {
    const old = lines[line - 1] ?? '';
    lines[line - 1] = old.slice(0, column - 1) + put + old.slice(column - 1 + length);
  }
  return lines.join('\n');
}

test.each([
  ['a tempo with its unit', head('title: T\ntempo: 160 bpm'), 2, 'tempo-unreadable'],
  ['a tempo in words', head('title: T\ntempo: fast'), 2, 'tempo-unreadable'],
  ['a tempo nobody plays', head('title: T\ntempo: 600'), 2, 'tempo-range'],
  ['a tempo with an equals sign', head('title: T\ntempo = 96'), 2, 'line-unknown'],
  ['a tempo alone', head('title: T\n♩ = 96'), 2, 'line-unknown'],
  ['no tempo', head('title: T'), 1, 'tempo-missing'],
  ['a slip in a word', head('title: T\ntmepo: 96'), 2, 'line-unknown'],
  ['a word without its colon', head('title: T\ntempo: 96\ncapo 2'), 3, 'line-unknown'],
  ['a capo in words', head('title: T\ntempo: 96\ncapo: 2nd fret'), 3, 'capo-unreadable'],
  ['a capo off the neck', head('title: T\ntempo: 96\ncapo: 20'), 3, 'capo-range'],
  ['Dropped D', head('title: T\ntempo: 96\ntuning: Dropped D'), 3, 'tuning-unreadable'],
  ['a meter alone', head('title: T\ntempo: 96\n3/4'), 3, 'line-unknown'],
  ['a meter with a dash', head('title: T\ntempo: 96\nmeter: 4-4'), 3, 'meter-unreadable'],
  [
    'groups that do not add up',
    head('title: T\ntempo: 96\nmeter: 7/8 (2+2+2)'),
    3,
    'meter-grouping',
  ],
  ['a shuffle', head('title: T\ntempo: 96\nfeel: shuffle'), 3, 'feel-unreadable'],
  ['a shape without its sign', head('title: T\ntempo: 96\nshape F 133211'), 3, 'shape-unreadable'],
  [
    'a shape with dashes',
    head('title: T\ntempo: 96\nshape D = 10-12-12-11-10-10'),
    3,
    'shape-strings',
  ],
  ['a field written twice', head('title: T\ntempo: 96\ntempo: 100'), 3, 'line-twice'],
  ['a title further down', verse('| G |\ntitle: Again'), 6, 'line-unknown'],
  ['no title', 'tempo: 96\n[Verse]\n| G |\n', 1, 'chart-title'],
  ['a section with a colon', 'title: T\ntempo: 96\nVerse:\n| G |\n', 3, 'line-unknown'],
  ['a missing bracket', 'title: T\ntempo: 96\n[Verse\n| G |\n', 3, 'heading-open'],
  ['the other bracket missing', 'title: T\ntempo: 96\nVerse]\n| G |\n', 3, 'line-unknown'],
  ['a name and bars on one line', 'title: T\ntempo: 96\n[Verse] | G |\n', 3, 'line-unknown'],
  ['two sections of one name', `${GOOD}[Verse]\n| C |\n`, 6, 'section-twice'],
  ['chords without bar lines', verse('G D Em C'), 5, 'line-unknown'],
  ['three chords in four beats', verse('| G D Em |'), 5, 'bar-beats'],
  ['five chords in four beats', verse('| G D Em C Am |'), 5, 'bar-beats'],
  ['beats stuck to a chord', verse('| G/// |'), 5, 'beats-glued'],
  ['R R', verse('| G / R R |'), 5, 'sign-unreadable'],
  ['Nashville numbers', verse('| 1 | 4 |'), 5, 'sign-unreadable'],
  ['a German chord', verse('| Hm |'), 5, 'chord-unreadable'],
  ['a chord misspelt', verse('| Gmag7 |'), 5, 'chord-unreadable'],
  ['a split left open', verse('| G / / (C D |'), 5, 'split-open'],
  ['a strum left open', verse('| G {eighths D- D- D- D- |'), 5, 'strum-open'],
  ['a remark left open', verse('| G "softly |'), 5, 'remark-open'],
  ['a repeat left open', verse('|: G | D |'), 5, 'repeat-open'],
  ['a simile first', verse('| % | G |'), 5, 'simile-first'],
  ['a strum without its notes', verse('strum: D- DU D- DU\n| G |'), 5, 'strum-grid'],
  ['a strum too short', verse('strum: eighths D- DU D-\n| G |'), 5, 'strum-fit'],
  ['a strum grouped across beats', verse('strum: eighths DUD UDU DU\n| G |'), 5, 'strum-groups'],
  ['words with more bars', verse('| G |\nwords: | one | two |'), 6, 'words-bars'],
  ['words without bars', verse('| G | D |\nwords: down by the sea'), 6, 'words-bars'],
  ['a section misspelt in the form', `${GOOD}form: Vers\n`, 6, 'form-section'],
  ['played a hundred times', `${GOOD}form: Verse x100\n`, 6, 'form-times'],
])('%s', (_, text, line, code) => {
  const problem = readTypedChart(text).problems.find((p) => p.code === code);
  expect(problem?.span?.line).toBe(line);
  expect(problem!.remedy, problem!.cure).toBeDefined();
  const after = readTypedChart(mended(text, problem!.remedy!.edits)).problems;
  const left = after.filter(
    (p) =>
      p.code === code && p.message === problem!.message && p.span?.column === problem!.span!.column,
  );
  expect(left, mended(text, problem!.remedy!.edits)).toEqual([]);
});
