// The axes of every plot, in the theme's ink.
import type uPlot from 'uplot';
import type { Colours } from './colours.ts';

const FONT = '12px system-ui, sans-serif';

/** Time along the bottom, values on the left. @param left words of a value */
export function axes(colours: Colours, left: (value: number) => string): uPlot.Axis[] {
  const common: uPlot.Axis = {
    stroke: colours.soft,
    font: FONT,
    grid: { stroke: colours.hairline, width: 1 },
    ticks: { stroke: colours.hairline, width: 1 },
  };
  return [
    { ...common, values: DATE_WORDS },
    { ...common, size: 48, values: (_, splits) => splits.map(left) },
  ];
}

/** Day-month order and a 24-hour clock, as the rest of the program writes dates. */
const DATE_WORDS: (string | number | null)[][] = [
  [3600 * 24 * 365, '{YYYY}', null, null, null, null, null, null, 1],
  [3600 * 24 * 28, '{MMM}', '\n{YYYY}', null, null, null, null, null, 1],
  [3600 * 24, '{D} {MMM}', '\n{YYYY}', null, null, null, null, null, 1],
  [60, '{HH}:{mm}', '\n{D} {MMM}', null, '\n{D} {MMM}', null, null, null, 1],
  [1, '{HH}:{mm}:{ss}', '\n{D} {MMM}', null, null, null, null, null, 1],
];

/** Counts passes from 1, with the date of each below. */
export const countAxis = (time: uPlot.Axis, dateAt: (index: number) => string): uPlot.Axis => ({
  ...time,
  incrs: [1, 2, 5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000, 20_000, 50_000],
  values: (_, splits) => splits.map((at) => `${at + 1}\n${dateAt(at)}`),
});
