// Patterns over two bars: parted into what each bar plays, and found again where the bars of a section take turns.
import { add, div, equals, mul, rational, toNumber } from '../../base/rational.ts';
import type { Meter, StrumCell, StrumPattern } from '../../model/chart.ts';
import { barLength } from '../../rhythm/meter.ts';
import { strumLength } from '../../rhythm/strum.ts';
import type { SheetBar } from './sheet.ts';

export type Halves = readonly [first: StrumPattern, second: StrumPattern];

/** Undefined for a pattern that does not span two bars of the meter. */
export function halvesOf(strum: StrumPattern, meter: Meter): Halves | undefined {
  const full = barLength(meter);
  if (!equals(strumLength(strum), add(full, full))) return undefined;
  const half = strum.cells.length / 2;
  return [
    { ...strum, cells: strum.cells.slice(0, half) },
    { ...strum, cells: strum.cells.slice(half) },
  ];
}

const RING: StrumCell = { kind: 'ring' };

/** A bar in which what sounds rings on: half of a pattern may be so, a pattern of its own may not. */
export function ringing(meter: Meter): StrumPattern {
  const cells = Math.round(toNumber(barLength(meter)) * 2);
  return { grid: 2, cells: Array.from({ length: cells }, () => RING) };
}

const strikes = ({ cells }: StrumPattern): boolean => cells.some(({ kind }) => kind === 'stroke');
const same = (a: unknown, b: unknown): boolean =>
  a === b || JSON.stringify(a) === JSON.stringify(b);

/**
 * The bars of a section, with the pattern over two bars in place of the halves that take turns in them; where none
 * does, bars without a stroke lose theirs.
 */
export function withWholeStrums(bars: readonly SheetBar[]): readonly SheetBar[] {
  const whole = wholeOf(bars.filter(({ pickup }) => !pickup));
  if (!whole) return bars.map(struckOnly);
  const start = bars.findIndex(({ pickup }) => !pickup);
  return bars.map((bar, i) => underWhole(bar, whole, i - start + 1));
}

/** The bar with a pattern over two bars where it plays the half that is due; `number` counts the section's bars from 1. */
export function underWhole(
  bar: SheetBar,
  whole: StrumPattern | undefined,
  number: number,
): SheetBar {
  const halves = whole && halvesOf(whole, bar.meter);
  if (!halves || !bar.strum) return struckOnly(bar);
  const due = halves[(Math.abs(number - 1) % 2) as 0 | 1];
  const played = filled(bar.strum, bar.meter, whole.grid);
  return played && same(played.cells, due.cells) ? { ...bar, strum: whole } : struckOnly(bar);
}

function struckOnly(bar: SheetBar): SheetBar {
  if (!bar.strum || strikes(bar.strum)) return bar;
  const struck: { -readonly [K in keyof SheetBar]: SheetBar[K] } = { ...bar };
  delete struck.strum;
  return struck;
}

/** Halves that take turns at least twice are no chance; a file that says the pattern needs no second time. */
const FEWEST_BARS = 4;

function wholeOf(bars: readonly SheetBar[]): StrumPattern | undefined {
  const [first, second] = bars;
  if (first?.wholeStrum && bars.every((bar) => same(bar.wholeStrum, first.wholeStrum)))
    return first.wholeStrum;
  if (bars.length < FEWEST_BARS) return undefined;
  if (!first?.strum || !second?.strum || same(first.strum, second.strum)) return undefined;
  const { grid } = [first.strum, second.strum].find(strikes) ?? first.strum;
  const halves = [first, second].map(({ strum, meter }) => filled(strum!, meter, grid));
  if (!halves[0] || !halves[1] || same(halves[0], halves[1])) return undefined;
  const turns = bars.every(
    ({ strum, meter }, i) =>
      same(meter, first.meter) && strum && same(filled(strum, meter, grid), halves[i % 2]),
  );
  return turns ? { grid, cells: [...halves[0].cells, ...halves[1].cells] } : undefined;
}

/** A shorter pattern written out for its bar; undefined for one that does not fill it, or of another grid. */
function filled(
  strum: StrumPattern,
  meter: Meter,
  grid: StrumPattern['grid'],
): StrumPattern | undefined {
  const full = barLength(meter);
  if (!strikes(strum) && strum.cells.every(({ kind }) => kind === 'ring')) {
    const count = toNumber(mul(full, rational(grid)));
    return { grid, cells: Array.from({ length: count }, () => RING) };
  }
  const times = div(full, strumLength(strum));
  if (strum.grid !== grid || times.d !== 1) return undefined;
  return { grid, cells: Array.from({ length: times.n }, () => strum.cells).flat() };
}
