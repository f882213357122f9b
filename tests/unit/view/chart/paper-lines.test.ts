// Lines of bars on paper: four where they have room, a pickup before them, more room for what needs it.
import { expect, it } from 'vitest';
import { unwrap } from '../../../../app/core/base/result.ts';
import { readChartText } from '../../../../app/core/chart/notation/chart-text.ts';
import { leadsByBar } from '../../../../app/core/chart/form/leads.ts';
import { writtenBars } from '../../../../app/core/chart/form/written-bars.ts';
import { drawnSection } from '../../../../renderer/parts/bars/drawn-bars.ts';
import { type PaperLine, paperLines } from '../../../../renderer/parts/chart/paper-lines.ts';
import { sectionStrokes } from '../../../../renderer/parts/strum/drawn-strokes.ts';

function lines(text: string): readonly PaperLine[] {
  const chart = unwrap(readChartText(`title: T\ntempo: 90\n\n[Verse]\n${text}\n`, 't'));
  const section = chart.sections[0]!;
  const written = writtenBars(section.bars, section.meter ?? chart.meter);
  const strokes = sectionStrokes(chart, section);
  const leads = leadsByBar(chart, section);
  return paperLines(
    drawnSection(section, chart).map((bar, i) => {
      const { bar: number, meter, length } = written[i]!;
      const played = leads.get(number);
      const lead = played && { leads: { played, meter, length } };
      return { bar, strokes: strokes[i]!, ...lead };
    }),
  );
}
const counts = (text: string) => lines(text).map(({ bars }) => bars.length);
const LONG = 'down by the harbour where the ferries come home in the night, one by one by one';
const TWELVE = `8t ${'3/11 '.repeat(12)}`;

it.each([
  ['plain chords', '| G | C D | Em | C | G |', [4, 1]],
  ['four short names in a bar', '| G D Em C | G | G | G |', [4]],
  ['one bar of four long names', '| Ebmaj7 Cm7b5 Abmaj9 Bb13 | G | D | C |', [4]],
  ['nothing but long names', `|${' Ebmaj7 Cm7b5 Abmaj9 Bb13 |'.repeat(4)}`, [2, 2]],
  ['sixteenths', 'strum: sixteenths DUDUDUDUDUDUDUDU\n| G | C | D | G |', [4]],
  [
    'a pickup, which stands before the first four',
    '| pickup 1/4 D | G | C | D | G | Em | C |',
    [5, 2],
  ],
  ['one bar of many words', `| G | C | D | G |\nwords: | ${LONG} | on | and | on`, [4]],
  [
    'many words in every bar',
    `| G | C | D | G |\nwords: | ${LONG} | ${LONG} | ${LONG} | ${LONG}`,
    [2, 2],
  ],
  [
    'one bar of twelve notes',
    `| G | C | D | G |\nline: Hook, bar 2\npart Guitar: | ${TWELVE}|`,
    [4],
  ],
  [
    'many notes in every bar',
    `| G | C | D | G |\nline: Hook, bar 1\npart Guitar: |${`${TWELVE}|`.repeat(4)}`,
    [2, 2],
  ],
])('%s', (_, text, expected) => {
  expect(counts(text)).toEqual(expected);
});

it('makes bars as wide as each other where all have room, and leaves the rest of the last line free', () => {
  const [first, last] = lines('| G | C | D | G | Em |');
  expect(first!.widths).toEqual([0.25, 0.25, 0.25, 0.25]);
  expect(last!.widths).toEqual([0.25]);
});

it('gives more to the bar that needs it, and the same to the others', () => {
  const [{ widths } = { widths: [] }] = lines('| Ebmaj7 Cm7b5 Abmaj9 Bb13 | G | D | C |');
  expect(widths[0]).toBeGreaterThan(0.3);
  expect(new Set(widths.slice(1).map((one) => one.toFixed(6))).size).toBe(1);
  expect(widths.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1);
});

it('keeps every bar, in order, and no line wider than the paper', () => {
  const text = `strum: sixteenths DUDUDUDUDUDUDUDU\n| pickup 1/4 D |${' Ebmaj7 Cm7b5 Abmaj9 Bb13 | G |'.repeat(9)}`;
  const all = lines(text);
  expect(all.flatMap(({ bars }) => bars.map(({ number }) => number))).toEqual(
    Array.from({ length: 19 }, (_, i) => i),
  );
  for (const { from, bars, widths } of all) {
    expect(widths).toHaveLength(bars.length);
    expect(widths.reduce((sum, one) => sum + one, 0)).toBeLessThanOrEqual(1 + 1e-9);
    expect(bars[0]!.number).toBe(from);
  }
});
