// The tempo plot: passes as shapes, rungs as steps, owned tempo with its interval, target and due date as lines.
import uPlot from 'uplot';
import type { Bpm } from '../../../app/core/base/units.ts';
import type { Colours } from './colours.ts';
import { drawFloors, drawMarks } from './marks.ts';
import { axes, countAxis } from './plot-axes.ts';
import { ownedColumns, type TempoColumns, tempoRange } from './tempo-data.ts';

export interface TempoPlot {
  readonly columns: TempoColumns;
  readonly target: Bpm;
  /** Date of a pass by its place, for the axis that counts passes. */
  readonly dateAt: (index: number) => string;
  /** Seconds since 1970; shown along time only. */
  readonly due?: number;
  readonly showRungs: boolean;
  readonly showOwned: boolean;
  /** The pass under the pointer, if there is one. */
  readonly onPoint?: (index: number | undefined) => void;
}

/** Beyond this many passes in view the steps would be a smear, so they wait until the view is closer. */
const MOST_STEPS = 4_000;

/** How the tempos of a unit are drawn. */
export function tempoOptions(
  plot: TempoPlot,
  colours: Colours,
): Omit<uPlot.Options, 'width' | 'height'> {
  const { columns, target, showRungs, showOwned } = plot;
  const range = tempoRange(columns, target);
  const steps = uPlot.paths.stepped!({ align: 1 });
  return {
    scales: { x: { time: columns.along === 'time' }, y: { range: () => [range[0], range[1]] } },
    axes: axesFor(plot, colours),
    legend: { show: false },
    cursor: { drag: { x: true, y: false }, points: { show: false } },
    series: [
      {},
      {
        show: showRungs,
        stroke: colours.timber,
        width: 1.5,
        points: { show: false },
        paths: (u, series, from, to) =>
          to - from > MOST_STEPS ? null : steps(u, series, from, to),
      },
      { show: showOwned, stroke: colours.brass, width: 3, spanGaps: true, points: { show: false } },
      { show: showOwned, stroke: colours.brass, width: 1, spanGaps: true, points: { show: false } },
      { show: showOwned, stroke: colours.brass, width: 1, spanGaps: true, points: { show: false } },
    ],
    bands: [{ series: [4, 3], fill: transparent(colours.brass) }],
    hooks: {
      setCursor: [(u) => plot.onPoint?.(u.cursor.idx ?? undefined)],
      drawAxes: [(u) => drawLines(u, plot, colours)],
      draw: [
        (u) => drawMarks(u, columns, colours),
        (u) => showOwned && drawFloors(u, columns, colours),
      ],
    },
  };
}

function axesFor({ columns, dateAt }: TempoPlot, colours: Colours): uPlot.Axis[] {
  const [time, tempo] = axes(colours, (value) => String(Math.round(value)));
  return [columns.along === 'time' ? time! : countAxis(time!, dateAt), tempo!];
}

/** What is drawn of them: time or number, tempo, and the owned tempo with its band. */
export function tempoData({ columns }: TempoPlot): uPlot.AlignedData {
  const { middle, low, high } = ownedColumns(columns);
  return [columns.x, columns.bpm, middle, low, high] as unknown as uPlot.AlignedData;
}

/** rgb(…) → the same, mostly see-through. */
const transparent = (colour: string): string =>
  colour.startsWith('rgb(') ? colour.replace('rgb(', 'rgba(').replace(')', ', 0.18)') : colour;

/** Target across, due date down; dashes differ, and words stand at their ends. */
function drawLines(u: uPlot, { target, due }: TempoPlot, colours: Colours): void {
  const { ctx, bbox } = u;
  const right = bbox.left + bbox.width;
  const y = u.valToPos(target, 'y', true);
  ctx.save();
  ctx.strokeStyle = colours.ink;
  ctx.fillStyle = colours.ink;
  ctx.lineWidth = 1.5 * devicePixelRatio;
  ctx.font = `${12 * devicePixelRatio}px system-ui, sans-serif`;
  ctx.setLineDash([7 * devicePixelRatio, 5 * devicePixelRatio]);
  line(ctx, bbox.left, y, right, y);
  ctx.textAlign = 'right';
  ctx.fillText('target', right - 4 * devicePixelRatio, y - 5 * devicePixelRatio);
  if (due !== undefined && u.scales.x!.time) drawDue(u, u.valToPos(due, 'x', true));
  ctx.restore();
}

function drawDue({ ctx, bbox }: uPlot, x: number): void {
  if (x < bbox.left || x > bbox.left + bbox.width) return;
  ctx.setLineDash([2 * devicePixelRatio, 4 * devicePixelRatio]);
  line(ctx, x, bbox.top, x, bbox.top + bbox.height);
  ctx.fillText('due', x - 4 * devicePixelRatio, bbox.top + 14 * devicePixelRatio);
}

function line(ctx: CanvasRenderingContext2D, x0: number, y0: number, x1: number, y1: number): void {
  ctx.beginPath();
  ctx.moveTo(x0, y0);
  ctx.lineTo(x1, y1);
  ctx.stroke();
}
