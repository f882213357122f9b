// Does a strum fit its bar? What is wrong with its length or its groups, with a pattern that fits.
import { type Rational, add, compare, rational } from '../../base/rational.ts';
import type { Problem, Remedy } from '../../base/result.ts';
import type { Meter, StrumPattern } from '../../model/chart.ts';
import { barLength, beatsOf, printMeter } from '../../rhythm/meter.ts';
import { cellsInBar, fitted, strumFits } from '../../rhythm/fit-strum.ts';
import { GRID_NAMES, printStrum, signsTyped } from '../../rhythm/strum.ts';
import { type Value, spanOf } from './lines.ts';

/** `typed` is what stands after "strum:", or between the braces of a bar. */
export function strumProblem(
  typed: Value,
  pattern: StrumPattern,
  meter: Meter,
): Problem | undefined {
  const { grid, cells } = pattern;
  const wanted = cellsInBar(meter, grid);
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

/**
 * The first group of signs that ends inside a beat; single signs with a space after each are no groups. The last one
 * ends where the pattern begins anew, which may be inside a beat.
 */
function strayGroup(text: string, { grid }: StrumPattern, meter: Meter): string | undefined {
  const groups = signsTyped(text).trim().split(/\s+/u);
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
