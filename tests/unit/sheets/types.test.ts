// Songs set in the types of office programs: the spaces that bring a chord over its letter there lead to that letter here.
import { expect, test } from 'vitest';
import { readSheet } from '../../../app/core/sheets/read.ts';
import { TYPES, type WidthOf } from '../../../app/core/sheets/letter-widths.ts';
import { truthOf } from '../../support/sheets/print-sheet.ts';
import { SONGS, type Song } from '../../support/sheets/songs.ts';

/** As many spaces before each chord as come nearest to its letter. */
function setIn(width: WidthOf, line: string): string {
  const long = (text: string): number => [...text].reduce((sum, sign) => sum + width(sign), 0);
  const { words, chords } = truthOf(line);
  let row = '';
  for (const [symbol, at] of chords) {
    const spaces = Math.round((long(words.slice(0, at).padEnd(at)) - long(row)) / width(' '));
    row += ' '.repeat(Math.max(row === '' ? 0 : 1, spaces)) + symbol;
  }
  return words.trim() === '' ? row : `${row}\n${words}`;
}

const sheetOf = ({ title, by, sections }: Song, width: WidthOf): string =>
  [
    `${title}\nby ${by}`,
    ...sections.map(({ name, lines }) =>
      [`${name}:`, ...lines.map((line) => setIn(width, line))].join('\n'),
    ),
  ].join('\n\n');

test.each(
  ['a sans serif', 'a serif', 'a humanist type'].map((name, i) => [name, TYPES[i]!] as const),
)('set in %s, 99 of 100 chords stand on their letter', (_, width) => {
  const chords = SONGS.flatMap((song) => {
    const { sections } = readSheet(sheetOf(song, width));
    return song.sections.flatMap(({ lines }, s) =>
      lines.flatMap((line, i) => {
        const { words, chords: wanted } = truthOf(line);
        const found = sections[s]?.lines[i]?.chords;
        const anywhere = words.trim() === '';
        return wanted.map(
          ([symbol, at], k) => found?.[k]?.symbol === symbol && (anywhere || found[k].at === at),
        );
      }),
    );
  });
  expect(chords.length).toBeGreaterThan(200);
  expect(chords.filter(Boolean).length / chords.length).toBeGreaterThanOrEqual(0.99);
});
