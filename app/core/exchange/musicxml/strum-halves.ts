// Patterns over two bars: parted into what each bar plays, and found again where the bars of a section take turns.
import { same } from '../../base/same.ts';
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

/** Has it a stroke? */
export const strikes = ({ cells }: StrumPattern): boolean =>
  cells.some(({ kind }) => kind === 'stroke');

/** The bars of a section under its patterns over two bars, and that of the section itself, if it has one. */
export interface JoinedBars {
  readonly bars: readonly SheetBar[];
  readonly whole?: StrumPattern;
}

/**
 * The bars of a section, with patterns over two bars in place of their halves: where they take turns throughout, and
 * where a bar begins one of its own. Other bars without a stroke lose theirs.
 */
export function withWholeStrums(bars: readonly SheetBar[]): JoinedBars {
  const whole = wholeOf(bars.filter(({ pickup }) => !pickup));
  const start = bars.findIndex(({ pickup }) => !pickup);
  const joined = underWhole(bars, whole, (i) => i - start + 1);
  return { bars: joined, ...(whole && { whole }) };
}

/**
 * Bars with patterns over two bars where they play the half that is due: of the section's by the number of the bar,
 * from 1 on; of one of their own from the bar on in which it begins, as long as that bar is repeated.
 */
export function underWhole(
  bars: readonly SheetBar[],
  whole: StrumPattern | undefined,
  numberOf: (index: number) => number,
): readonly SheetBar[] {
  let own: { readonly strum: StrumPattern; readonly from: number } | undefined;
  return bars.map((bar, i) => {
    if (whole && playsHalf(bar, whole, numberOf(i) - 1)) {
      own = undefined;
      return { ...bar, strum: whole };
    }
    const { wholeStrum, wholeIsOwn, simile } = bar;
    if (!wholeStrum || !wholeIsOwn) own = undefined;
    else if (!(own && simile && playsHalf(bar, own.strum, i - own.from)))
      own = playsHalf(bar, wholeStrum, 0) ? { strum: wholeStrum, from: i } : undefined;
    return own ? { ...bar, strum: own.strum } : struckOnly(bar);
  });
}

/** Does the bar play that half of a pattern which is due after so many bars? */
function playsHalf({ strum, meter }: SheetBar, whole: StrumPattern, after: number): boolean {
  const halves = halvesOf(whole, meter);
  const played = halves && strum && filled(strum, meter, whole.grid);
  return played !== undefined && same(played.cells, halves![(Math.abs(after) % 2) as 0 | 1].cells);
}

function struckOnly(bar: SheetBar): SheetBar {
  if (!bar.strum || strikes(bar.strum)) return bar;
  const struck: { -readonly [K in keyof SheetBar]: SheetBar[K] } = { ...bar };
  delete struck.strum;
  return struck;
}

/** Halves that take turns at least twice are no chance; a file that says the pattern needs no second time. */
const FEWEST_BARS = 4;

/** A pattern of the section, where every bar has a strum and words say so. */
const saidWhole = (bars: readonly SheetBar[]): StrumPattern | undefined =>
  bars.every(({ strum }) => strum)
    ? bars.find(({ wholeStrum, wholeIsOwn }) => wholeStrum && !wholeIsOwn)?.wholeStrum
    : undefined;

function wholeOf(bars: readonly SheetBar[]): StrumPattern | undefined {
  const [first, second] = bars;
  const said = saidWhole(bars);
  if (said) return said;
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
