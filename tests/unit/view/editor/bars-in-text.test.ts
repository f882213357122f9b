// Bars in the typed text: which stay in one piece where a line wraps, and which lines stand around a place.
import { expect, test } from 'vitest';
import { Text } from '@codemirror/state';
import {
  barsOfLine,
  isOneRow,
  linesAround,
} from '../../../../renderer/parts/editor/bars-in-text.ts';

const pieces = (text: string): string[] =>
  barsOfLine({ text, from: 0 }).map(({ from, to }) => text.slice(from, to));

test.each([
  ['| G | D / |', ['| G', '| D /', '|']],
  ['|: G |1. D :|2. C |', ['|: G', '|1. D', ':|2. C', '|']],
  ['words: | la la | lo |', ['| la la', '| lo', '|']],
  ['title: A | B', []],
])('the pieces of %s', (text, wanted) => {
  expect(pieces(text)).toEqual(wanted);
});

test.each([
  ['in a bar', '| G | D |', 2, [0, 4]],
  ['in a repeat', '|: G :| D |', 3, [0, 5]],
  ['behind the last bar', '| G |', 5, []],
  ['in no bar', 'key: G', 2, []],
])('the lines around a place %s', (_, text, at, wanted) => {
  expect(linesAround({ text, from: 0 }, at).map(({ from }) => from)).toEqual(wanted);
});

test('words and the bars right above them stay in one row', () => {
  const doc = Text.of([
    '[A]',
    '| G | D |',
    '',
    '| C | G |',
    'words: | la | lo |',
    'words 2: | na | no |',
  ]);
  const rows = [1, 2, 3, 4, 5, 6].filter((n) => isOneRow(doc, doc.line(n)));
  expect(rows).toEqual([4, 5, 6]);
});
