// A strum pattern and the bar it is to fill: whether it fits, and the pattern nearest to it that does.
import { add, compare, div, equals, toNumber } from '../base/rational.ts';
import type { Meter, StrumCell, StrumPattern } from '../model/chart.ts';
import { barLength, beatsOf } from './meter.ts';
import { strumLength } from './strum.ts';

/** How many cells of a grid fill a bar; no whole number where none do. */
export const cellsInBar = (meter: Meter, grid: StrumPattern['grid']): number =>
  toNumber(barLength(meter)) * grid;

/** A pattern fits that lasts a beat or more and fills a bar once or several times, or spans two bars. */
export function strumFits(pattern: StrumPattern, meter: Meter): boolean {
  const bar = barLength(meter);
  const length = strumLength(pattern);
  const [beat] = beatsOf(meter);
  const fills = div(bar, length).d === 1 && compare(length, beat!.length) >= 0;
  return fills || equals(length, add(bar, bar));
}

/** Strokes that alternate (down on the beat), else the pattern cut at the bar's end, or rung on to it. */
export function fitted(pattern: StrumPattern, wanted: number): StrumPattern {
  const { grid, cells } = pattern;
  const swinging = cells.length < wanted ? handsWay(pattern, wanted) : undefined;
  if (swinging) return swinging;
  const most = cells.length > wanted * 1.5 ? wanted * 2 : wanted;
  const ring: StrumCell = { kind: 'ring' };
  return { grid, cells: Array.from({ length: most }, (_, i) => cells[i] ?? ring) };
}

/**
 * "D DU UDU" as most people write it: the hand goes on down and up, and every stroke falls on the next moment of its
 * way (common practice, no source). Undefined for patterns that say their gaps, and for those that come out longer.
 */
export function handsWay({ grid, cells }: StrumPattern, wanted: number): StrumPattern | undefined {
  if (grid === 3 || cells.some(({ kind }) => kind !== 'stroke')) return undefined;
  const out: StrumCell[] = [];
  for (const cell of cells) {
    const isDown = cell.kind === 'stroke' && cell.direction === 'down';
    if ((out.length % 2 === 0) !== isDown) out.push({ kind: 'ring' });
    out.push(cell);
  }
  if (out.length > wanted) return undefined;
  return { grid, cells: Array.from({ length: wanted }, (_, i) => out[i] ?? { kind: 'ring' }) };
}
