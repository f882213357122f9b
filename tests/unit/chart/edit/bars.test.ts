// Bar lines moved by a click: what is in the bars before and after, as it is typed.
import { describe, expect, test } from 'vitest';
import {
  type BarEdit,
  holdBar,
  joinBars,
  lineEarlier,
  lineLater,
  splitBar,
  wordBack,
  wordOn,
} from '../../../../app/core/chart/edit/bars.ts';
import { copySection, moveSection } from '../../../../app/core/chart/edit/sections.ts';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../../app/core/chart/notation/print.ts';
import { unwrap } from '../../../../app/core/base/result.ts';

const chartOf = (bars: string, meter = '4/4') =>
  unwrap(parseChart(`title: T\ntempo: 90\nmeter: ${meter}\n\n[A]\n${bars}\n`));

/** The lines of the section after the edit, which must read back to the same chart. */
function after(edit: BarEdit, bars: string, bar = 0, meter = '4/4'): string {
  const chart = chartOf(bars, meter);
  const section = edit(chart.sections[0]!, bar, chart.meter);
  if (!section) return 'no';
  const text = printChart({ ...chart, sections: [section] });
  expect(printChart(unwrap(parseChart(text)))).toBe(text);
  return lines(text);
}

const lines = (text: string): string =>
  text.split('[A]\n')[1]!.split('\n\nform:')[0]!.replaceAll(/ +/gu, ' ').trim();
/** As the printer sets it: "| G / D / |" for "| G D |". */
const typed = (bars: string, meter = '4/4'): string =>
  bars === 'no' ? bars : lines(printChart(chartOf(bars, meter)));

describe('join', () => {
  test.each([
    ['| G | D |', '| G D |'],
    ['| G | D | Em |', '| G D | Em |'],
    ['| G D | Em |', '| G D Em / |'],
    ['| G D Em C | Am D |', '| (G D) Em (C Am) D |'],
    ['|: G | D :|', '|: G D :|'],
    ['| G | / |', '| G |'],
    ['| G |1. D :|2. C |', 'no'],
    ['| G | 3/4 D |', 'no'],
    ['| pickup 1/4 G | D |', 'no'],
  ])('%s becomes %s', (bars, joined) => expect(after(joinBars, bars)).toBe(typed(joined)));

  test('words run on', () => {
    expect(after(joinBars, '| G | D |\nwords: | Down by | the har-bour |')).toBe(
      typed('| G D |\nwords: | Down by the har-bour |'),
    );
  });
  test('in three beats the second chord has the last one', () => {
    expect(after(joinBars, '| G | D |', 0, '3/4')).toBe(typed('| G D / |', '3/4'));
  });
});

describe('split', () => {
  test.each([
    ['| G D |', '| G | D |'],
    ['| G D Em C |', '| G D | Em C |'],
    ['| G / / D |', '| G | D |'],
    ['| G |', '| G | / |'],
    ['|: G D :| x3', '|: G | D :| x3'],
  ])('%s becomes %s', (bars, split) => expect(after(splitBar, bars)).toBe(typed(split)));

  test('words are halved, or parted where a place says so', () => {
    expect(after(splitBar, '| G D |\nwords: | Down by the bay |')).toBe(
      typed('| G | D |\nwords: | Down by | the bay |'),
    );
    expect(after(splitBar, '| G D |\nwords: | one @3 two three four |')).toBe(
      typed('| G | D |\nwords: | one | @1 two three four |'),
    );
  });
});

describe('hold and move the line', () => {
  test('a chord goes on for a bar; the repeat ends behind it', () => {
    expect(after(holdBar, '| G | D |')).toBe(typed('| G | / | D |'));
    expect(after(holdBar, '|: G :|')).toBe(typed('|: G | / :|'));
  });
  test('earlier: the last chord goes into the next bar, with its words', () => {
    expect(after(lineEarlier, '| G D | Em |\nwords: | one two | three |')).toBe(
      typed('| G | D Em |\nwords: | one | two three |'),
    );
    expect(after(lineEarlier, '| G | Em |')).toBe('no');
  });
  test('later: the first chord of the next bar comes into this one', () => {
    expect(after(lineLater, '| G | D Em |\nwords: | one | two three |')).toBe(
      typed('| G D | Em |\nwords: | one two | three |'),
    );
    expect(after(lineLater, '| G | Em |')).toBe('no');
  });
  test('a word goes on, a word comes back, whole', () => {
    const sung = '| G | D |\nwords: | down the | har-bour wall |';
    expect(after(wordOn, sung)).toBe(typed('| G | D |\nwords: | down | the har-bour wall |'));
    expect(after(wordBack, sung)).toBe(typed('| G | D |\nwords: | down the har-bour | wall |'));
    expect(after(wordBack, '| G | D |')).toBe('no');
  });
});

describe('sections', () => {
  const chart = unwrap(
    parseChart('title: T\ntempo: 90\n\n[A]\n| G |\n\n[B]\nlike: A\n\n[C]\n| D |\n'),
  );
  test('a copy stands behind, is played after, and has a name of its own', () => {
    const { sections, form } = copySection(chart, 0);
    expect(sections.map(({ name }) => name)).toEqual(['A', 'A 2', 'B', 'C']);
    expect(form.map(({ section }) => section)).toEqual(['A', 'A 2', 'B', 'C']);
  });
  test('moving takes the form along, and never above what is borrowed', () => {
    const moved = moveSection(chart, 2, -1)!;
    expect(moved.form.map(({ section }) => section)).toEqual(['A', 'C', 'B']);
    expect(moveSection(chart, 1, -1)).toBeUndefined();
    expect(moveSection(chart, 2, 1)).toBeUndefined();
  });
});
