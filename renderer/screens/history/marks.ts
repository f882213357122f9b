// Draws every pass as a shape: clean a disc, missed a cross, not judged a ring. Shapes that would fall on each
// other are drawn once, so that 200,000 passes take no longer than the plot has places.
import type uPlot from 'uplot';
import type { Colours } from './colours.ts';
import { PASS_VERDICTS, type PassVerdict } from '../../../app/core/model/pass.ts';
import type { TempoColumns } from './tempo-data.ts';

/** Up to this many passes in view the shapes are large. */
const FEW = 1_500;

/** Into the canvas of a plot, as far as it is zoomed. */
export function drawMarks(plot: uPlot, columns: TempoColumns, colours: Colours): void {
  const { ctx, bbox } = plot;
  const inView = plot.series[0]!.idxs ?? [0, columns.x.length - 1];
  const few = inView[1] - inView[0] <= FEW;
  const r = (few ? 4 : 2) * devicePixelRatio;
  const places = placesIn(plot, columns, inView, Math.max(1, 2 * r));
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  PASS_VERDICTS.forEach((verdict, kind) =>
    drawKind(ctx, LOOKS[verdict], places[kind]!, r, colours),
  );
  if (few) drawCold(plot, columns, inView, colours);
  ctx.restore();
}

/** The first and the last pass that are seen, by index. */
type InView = readonly [first: number, last: number];

type Places = readonly (readonly number[])[];

/** How far a mark may step aside, in cells: a day of practice stays a day. */
const ASIDE = [0, 1, -1, 2, -2, 3, -3];

/**
 * Canvas places of the passes from `first` to `last` by verdict: x, y, x, y … one per cell of `cell` pixels.
 * Marks of different kinds never lie on each other: the later one steps aside.
 */
function placesIn(
  plot: uPlot,
  { x, bpm, verdict }: TempoColumns,
  [first, last]: InView,
  cell: number,
): Places {
  const { left, top, width, height } = plot.bbox;
  const { min: x0 = 0, max: x1 = 1 } = plot.scales.x!;
  const { min: y0 = 0, max: y1 = 1 } = plot.scales.y!;
  const perX = width / (x1! - x0!);
  const perY = height / (y1! - y0!);
  const columnsOfCells = Math.ceil(width / cell) + 1;
  /** 0 is free, else the kind of mark that stands there, from 1. */
  const taken = new Uint8Array(columnsOfCells * (Math.ceil(height / cell) + 1));
  const places: number[][] = PASS_VERDICTS.map(() => []);
  for (let i = first; i <= last; i++) {
    const px = (x[i]! - x0!) * perX;
    const py = height - (bpm[i]! - y0!) * perY;
    if (px < 0 || px > width || py < 0 || py > height) continue;
    const kind = verdict[i]!;
    const row = Math.floor(py / cell) * columnsOfCells;
    const column = Math.floor(px / cell);
    const free = ASIDE.find((by) => {
      const at = column + by;
      return at >= 0 && at < columnsOfCells && [0, kind + 1].includes(taken[row + at]!);
    });
    if (free === undefined || taken[row + column + free] === kind + 1) continue;
    taken[row + column + free] = kind + 1;
    places[kind]!.push(left + px + free * cell, top + py);
  }
  return places;
}

interface Look {
  readonly colour: keyof Colours;
  /** Width of its lines in radii; a shape without is filled. */
  readonly line?: number;
  readonly outline: (ctx: CanvasRenderingContext2D, x: number, y: number, r: number) => void;
}

const ring =
  (size: number): Look['outline'] =>
  (ctx, x, y, r) => {
    ctx.moveTo(x + r * size, y);
    ctx.arc(x, y, r * size, 0, 2 * Math.PI);
  };
const cross: Look['outline'] = (ctx, x, y, r) => {
  ctx.moveTo(x - r, y - r);
  ctx.lineTo(x + r, y + r);
  ctx.moveTo(x + r, y - r);
  ctx.lineTo(x - r, y + r);
};

const LOOKS: Readonly<Record<PassVerdict, Look>> = {
  clean: { colour: 'clean', outline: ring(1) },
  missed: { colour: 'missed', line: 0.6, outline: cross },
  unjudged: { colour: 'soft', line: 0.4, outline: ring(0.7) },
};

function drawKind(
  ctx: CanvasRenderingContext2D,
  { colour, line, outline }: Look,
  places: readonly number[],
  r: number,
  colours: Colours,
): void {
  ctx.beginPath();
  for (let i = 0; i < places.length; i += 2) outline(ctx, places[i]!, places[i + 1]!, r);
  if (line === undefined) {
    ctx.fillStyle = colours[colour];
    return ctx.fill();
  }
  ctx.lineWidth = line * r;
  ctx.strokeStyle = colours[colour];
  ctx.stroke();
}

/** First passes of a day stand in a square: they show what was still there. */
function drawCold(
  plot: uPlot,
  { x, bpm, cold }: TempoColumns,
  [first, last]: InView,
  colours: Colours,
): void {
  const side = 13 * devicePixelRatio;
  plot.ctx.strokeStyle = colours.ink;
  plot.ctx.lineWidth = devicePixelRatio;
  for (const i of cold) {
    if (i < first || i > last) continue;
    const [px, py] = [plot.valToPos(x[i]!, 'x', true), plot.valToPos(bpm[i]!, 'y', true)];
    plot.ctx.strokeRect(px - side / 2, py - side / 2, side, side);
  }
}

/** Days that only say "at least": a small roof over the tempo that is sure. */
export function drawFloors(plot: uPlot, { x, days }: TempoColumns, colours: Colours): void {
  const { ctx, bbox } = plot;
  const r = 4 * devicePixelRatio;
  ctx.save();
  ctx.strokeStyle = colours.brass;
  ctx.lineWidth = 2 * devicePixelRatio;
  ctx.beginPath();
  for (const { at, owned } of days) {
    if (owned.kind !== 'at-least') continue;
    const px = plot.valToPos(x[at]!, 'x', true);
    const py = plot.valToPos(owned.bpm, 'y', true);
    if (px < bbox.left || px > bbox.left + bbox.width) continue;
    ctx.moveTo(px - r, py);
    ctx.lineTo(px, py - r);
    ctx.lineTo(px + r, py);
  }
  ctx.stroke();
  ctx.restore();
}
