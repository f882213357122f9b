// Pinned shapes whose notes are not their chord are told where they are typed, and kept with one sign.
import { describe, expect, test } from 'vitest';
import { parseChart, readTypedChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const chart = (bars: string, head = '') => `title: Pins\ntempo: 90\n${head}[A]\n${bars}\nform: A`;
const warnings = (text: string): readonly Problem[] => readTypedChart(text).warnings;

/** The text after a remedy was carried out. */
function mended(text: string, { remedy }: Problem): string {
  const lines = text.split('\n');
  for (const { line, column, length, text: put } of remedy!.edits) {
    const old = lines[line - 1]!;
    lines[line - 1] = old.slice(0, column - 1) + put + old.slice(column - 1 + length);
  }
  return lines.join('\n');
}

describe('a wrong pin', () => {
  test.each([
    [chart('| G[x32010] | C |'), 'String 5 sounds C, which is not in G', 4, 'G[x32010!]'],
    [chart('| C | G[320013] / D / |'), 'String 2 sounds C, which is not in G', 4, 'G[320013!]'],
    [chart('| Bm | C |', 'shape Bm = x24442\n'), 'String 2 sounds E♭, which is not in Bm', 3, 'shape Bm = x24442!'], // prettier-ignore
  ])('%s', (text, message, line, kept) => {
    const [found, ...more] = warnings(text);
    expect(more).toEqual([]);
    expect(found).toMatchObject({ code: 'pin-wrong', message, span: { line } });
    expect(parseChart(text).ok).toBe(true);
    const after = mended(text, found!);
    expect(after).toContain(kept);
    expect(warnings(after)).toEqual([]);
  });

  test('stays kept when the chart is printed and read again', () => {
    const text = chart('| G[x32010!] | Bm |', 'shape Bm = x24442!\n');
    const printed = printChart(unwrap(parseChart(text)));
    expect(printed).toContain('G[x32010!]');
    expect(printed).toContain('shape Bm = x24442!');
    expect(unwrap(parseChart(printed))).toEqual(unwrap(parseChart(text)));
  });
});

test.each([
  ['the chord', '| G[320003] | D[x00232] |'],
  ['a tone left out', '| G7[3x34xx] | C9[x3233x] |'],
  ['another tone lowest', '| G[x20003] | C[032010] |'],
  ['nothing pinned', '| G | N.C. | C |'],
])('no warning for %s', (_, bars) => expect(warnings(chart(bars))).toEqual([]));

test('above a capo and in another tuning the fingered chord counts', () => {
  expect(warnings(chart('| G[320003] |', 'capo: 3\n'))).toEqual([]);
  expect(warnings(chart('| D[000232] | D[5x0232] |', 'tuning: drop D\n'))).toHaveLength(1);
});
