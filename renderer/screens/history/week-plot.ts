// The weeks: minutes played as bars, share of clean passes as a line with marks.
import uPlot from 'uplot';
import { dayNumber } from '../../../app/core/log/days.ts';
import type { PracticeWeek } from '../../../app/core/log/weeks.ts';
import type { Colours } from './colours.ts';
import { axes } from './plot-axes.ts';

const DAY = 86_400;

/** Minutes on the left, share clean on the right. */
export function weekOptions(colours: Colours): Omit<uPlot.Options, 'width' | 'height'> {
  const [time, minutes] = axes(colours, (value) => `${value} min`);
  return {
    scales: {
      x: { time: true },
      y: { range: (_, __, max) => [0, Math.max(10, max * 1.1)] },
      share: { range: () => [0, 1] },
    },
    axes: [
      time!,
      { ...minutes!, size: 62 },
      {
        ...minutes!,
        scale: 'share',
        side: 1,
        size: 52,
        grid: { show: false },
        values: (_, splits) => splits.map((value) => `${Math.round(value * 100)} %`),
      },
    ],
    legend: { show: false },
    cursor: { drag: { x: false, y: false }, points: { show: false } },
    series: [
      {},
      {
        stroke: colours.timber,
        fill: colours.timber,
        points: { show: false },
        paths: uPlot.paths.bars!({ size: [0.6, 40], align: 0 }),
      },
      {
        scale: 'share',
        stroke: colours.clean,
        width: 2.5,
        spanGaps: false,
        points: { show: true, size: 8, fill: colours.sheet, stroke: colours.clean, width: 2.5 },
      },
    ],
  };
}

/** Bars stand in the middle of their week. */
export const weekData = (weeks: readonly PracticeWeek[]): uPlot.AlignedData => [
  weeks.map(({ from }) => (dayNumber(from) + 3.5) * DAY),
  weeks.map(({ minutes }) => minutes),
  weeks.map(({ shareClean }) => shareClean ?? null),
];

/** From a day before the first week to a day after the last, in seconds since 1970; [0, 1] for no weeks. */
export const weekSpan = (weeks: readonly PracticeWeek[]): readonly [number, number] => {
  const [first, last] = [weeks[0], weeks.at(-1)];
  return first && last
    ? [(dayNumber(first.from) - 1) * DAY, (dayNumber(last.from) + 8) * DAY]
    : [0, 1];
};
