// Shapes that a sheet lists: taken into the head of the draft, or said to be left out.
import { expect, test } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { printShape } from '../../../app/core/chart/notation/fields.ts';
import { draftOf } from '../../../app/core/sheets/draft.ts';
import { readSheet } from '../../../app/core/sheets/read.ts';

const SONG = 'Verse\nG          Cadd9\nCarry the lantern over\n';

const draft = (sheet: string) => {
  const read = readSheet(sheet);
  const { text, guesses } = draftOf(read);
  return {
    shapes: unwrap(parseChart(text)).shapes.map(printShape),
    guesses,
    leftOut: read.leftOut,
  };
};
const BOTH = ['shape G = 320003', 'shape Cadd9 = x32030'];

test.each([
  ['one to a line', 'G:     320003\nCadd9: x32030'],
  ['several on a line', 'G 320003   Cadd9 x32030'],
  ['behind a word', 'Chords used: G 320003, Cadd9 x32030'],
  ['with signs of equality and bar lines', 'Shapes: G=320003 | Cadd9=x32030'],
  ['with dashes, spaces and letters for open strings', 'G 3-2-0-0-0-3\nCadd9 = X 3 2 o 3 o'],
])('%s', (_, lines) => {
  expect(draft(`Greenhouse\n${lines}\n\n${SONG}`).shapes).toEqual(BOTH);
  expect(draft(`Greenhouse\n\n${SONG}\n${lines}\n`).shapes).toEqual(BOTH);
});

test('in German names', () => {
  const sheet = 'Gewächshaus\nH7: x21202\n\nStrophe\nEm         H7\nTrag die Laterne hinüber\n';
  expect(draft(sheet).shapes).toEqual(['shape B7 = x21202']);
  expect(draftOf(readSheet(sheet)).text).toContain('shape H7 = x21202');
});

test('a chord that is not played, and a second shape of one, are left out and told', () => {
  const { shapes, guesses } = draft(`Greenhouse\nG 320003\nG 320033\nEm 022000\n\n${SONG}`);
  expect(shapes).toEqual(['shape G = 320003']);
  expect(guesses).toContain('A second shape of G, 320033, is left out.');
  expect(guesses).toContain('The shape of Em is left out: the song has no Em.');
});

test.each(['G: 32000', 'G: xxxxxx', 'G 320003, Cadd9 x3203'])(
  '“%s” is left out as a whole and told',
  (line) => {
    const { shapes, leftOut } = draft(`Greenhouse\n\n${line}\n\n${SONG}`);
    expect(shapes).toEqual([]);
    expect(leftOut.map(({ text }) => text)).toEqual([line]);
  },
);
