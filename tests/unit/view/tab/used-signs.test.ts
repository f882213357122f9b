// A sheet explains the signs of the tab that stand on it, and no others.
import { expect, it } from 'vitest';
import { unwrap } from '../../../../app/core/base/result.ts';
import { readChartText } from '../../../../app/core/chart/notation/chart-text.ts';
import { usedSigns } from '../../../../renderer/parts/tab/used-signs.ts';

const signsIn = (part: string) => {
  const text = `title: Reed Song\ntempo: 80\nmeter: 4/4\n\n[Verse]\n| G | D |\nline: Reply, bar 1\npart Guitar: | ${part} |\n`;
  const { sections } = unwrap(readChartText(text, 'reed'));
  return [...usedSigns(sections.flatMap(({ leads }) => leads ?? []))];
};

it.each([
  ['4 2/3 1/2 2/3 3/4', []],
  ['4 2/5 h7 p5 2/3~', ['hammer-on', 'pull-off', 'vibrato']],
  ['2 3/7b1 /9', ['bend', 'slide']],
])('finds in %s what it uses', (part, signs) => {
  expect(signsIn(part)).toEqual(signs);
});
