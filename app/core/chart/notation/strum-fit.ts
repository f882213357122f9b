// Does a strum fit its bar? What is wrong with its length or its groups, with a pattern that fits.
import {
  type Rational,
  add,
  compare,
  div,
  equals,
  rational,
  toNumber,
} from '../../base/rational.ts';
import type { Problem, Remedy } from '../../base/result.ts';
import type { Meter, StrumCell, StrumPattern } from '../../model/chart.ts';
import { barLength, beatsOf, printMeter } from '../../rhythm/meter.ts';
import { GRID_NAMES, printStrum, strumLength } from '../../rhythm/strum.ts';
import { type Value, spanOf } from './lines.ts';

/** A pattern fits that lasts a beat or more and fills a bar once or several times, or spans two bars. */
function strumFits(pattern: StrumPattern, meter: Meter): boolean {
  const bar = barLength(meter);
  const length = strumLength(pattern);
  const [beat] = beatsOf(meter);
  const fills = div(bar, length).d === 1 && compare(length, beat!.length) >= 0;
  return fills || equals(length, add(bar, bar));
}

/** `typed` is what stands after "strum:", or between the braces of a bar. */
export function strumProblem(
  typed: Value,
  pattern: StrumPattern,
  meter: Meter,
): Problem | undefined {
  const { grid, cells } = pattern;
  const wanted = toNumber(barLength(meter)) * grid;
  const notes = GRID_NAMES[grid];
  if (!Number.isInteger(wanted)) {
    const message = `${notes} do not fill a bar of ${printMeter(meter)}`;
    const cure = `Use ${notes === 'sixteenths' ? 'eighths' : 'sixteenths'} here.`;
    return { code: 'strum-fit', message, cure, span: spanOf(typed) };
  }
  if (!strumFits(pattern, meter)) {
    const message = `the strum has ${cells.length} ${notes}; a bar of ${printMeter(meter)} has ${wanted}`;
    const cure = `Write ${wanted} signs, or ${2 * wanted} for a pattern over two bars.`;
    const remedy = retyped(typed, fitted(pattern, wanted), meter);
    return { code: 'strum-fit', message, cure, span: spanOf(typed), remedy };
  }
  const stray = strayGroup(typed.text, pattern, meter);
  if (stray === undefined) return undefined;
  const message = `the group “${stray}” of the strum does not end on a beat of ${printMeter(meter)}`;
  const cure = 'Put spaces only between beats.';
  const remedy = retyped(typed, pattern, meter);
  return { code: 'strum-groups', message, cure, span: spanOf(typed), remedy };
}

const retyped = (typed: Value, pattern: StrumPattern, meter: Meter): Remedy => {
  const text = printStrum(pattern, meter);
  const edit = { ...spanOf(typed), length: typed.text.length, text };
  return { label: `Write “${text}”`, edits: [edit] };
};

/** Strokes that alternate (down on the beat), else the pattern cut at the bar's end, or rung on to it. */
function fitted(pattern: StrumPattern, wanted: number): StrumPattern {
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
function handsWay({ grid, cells }: StrumPattern, wanted: number): StrumPattern | undefined {
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

/**
 * The first group of signs that ends inside a beat; single signs with a space after each are no groups. The last one
 * ends where the pattern begins anew, which may be inside a beat.
 */
function strayGroup(text: string, { grid }: StrumPattern, meter: Meter): string | undefined {
  const groups = text
    .replace(/^\s*\p{L}{6,}\s*:?/u, '')
    .trim()
    .split(/\s+/u);
  const sizes = groups.map(
    (group) => [...group].filter((sign) => /[Dd↓⊓Uu↑∨\-rR]/u.test(sign)).length,
  );
  if (groups.length < 2 || sizes.every((size) => size === 1)) return undefined;
  const bar = barLength(meter);
  const beats = beatsOf(meter);
  // Triplets have no whole signs to such beats; any group is as good as another.
  if (!beats.every(({ length }) => (length.n * grid) % length.d === 0)) return undefined;
  const starts = beats.map((beat) => beat.at);
  let at: Rational = rational(0);
  return groups.slice(0, -1).find((_, i) => {
    at = add(at, rational(sizes[i]!, grid));
    const inBar = rational(
      at.n * bar.d - Math.floor((at.n * bar.d) / (at.d * bar.n)) * at.d * bar.n,
      at.d * bar.d,
    );
    return !starts.some((start) => compare(start, inBar) === 0);
  });
}
