// Bars of a chart drawn from a seed, as somebody would type them: chords, beats, splits, pins, strums, repeats.
import type { Dice } from './dice.ts';

/** A meter as typed, with what is needed to fill its bars. Lengths are quarter notes. */
export interface DrawnMeter {
  readonly text: string;
  readonly units: number;
  readonly unit: number;
  readonly beats: readonly number[];
  readonly quarters: number;
}

/** "7/8 (3+2+2)", or with the usual groups: threes, then twos; 2+2+3 in seven. */
function meterFrom(text: string): DrawnMeter {
  const [, n = '', u = '', groups] = /^(\d+)\/(\d+)\s*(?:\(([\d+]+)\))?/.exec(text)!;
  const [units, unit] = [Number(n), Number(u)];
  const grouping = groups ? groups.split('+').map(Number) : usualGroups(units);
  const beats =
    unit < 8 ? Array<number>(units).fill(4 / unit) : grouping.map((group) => (group * 4) / unit);
  return { text, units, unit, beats, quarters: (units * 4) / unit };
}

function usualGroups(units: number): readonly number[] {
  if (units === 7) return [2, 2, 3];
  if (units < 3) return [units];
  const twos = (3 - (units % 3)) % 3;
  return [...Array<number>((units - 2 * twos) / 3).fill(3), ...Array<number>(twos).fill(2)];
}

const GRIDS = [
  [2, 'eighths'],
  [2, 'eighths'],
  [3, 'triplets'],
  [4, 'sixteenths'],
] as const;
const CELLS = ['D', 'U', '-', '-', 'D>', 'U>', 'Dx', 'Ux', 'r', 'U', 'D', 'Dx>'];

export interface DrawnStrum {
  readonly text: string;
  /** Quarter notes, a whole number of them. */
  readonly length: number;
}

/** A pattern that fills a bar once or several times; some meters have none of whole quarters. */
export function drawStrum(dice: Dice, { quarters, beats }: DrawnMeter): DrawnStrum | undefined {
  const [grid, name] = dice.one(GRIDS);
  const fits = (times: number): boolean =>
    Number.isInteger(quarters / times) && quarters / times >= beats[0]!;
  const times = [1, 1, 2, 3, 4].filter(fits);
  if (times.length === 0) return undefined;
  const length = quarters / dice.one(times);
  const cells = Array.from({ length: grid * length }, () => dice.one(CELLS));
  if (!/[DU]/.test(cells.join(''))) cells[0] = 'D';
  return { text: `${name} ${cells.join('')}`, length };
}

/** What chords a chart has, and what may stand around a bar. */
export interface BarContext {
  readonly chord: () => string;
  readonly swings: boolean;
}

const METERS = '2/4 3/4 4/4 4/4 4/4 5/4 5/4(2+3) 6/4 7/4 2/2 3/2 4/2'.split(' ');
const GROUPED =
  '3/8 5/8 5/8(2+3) 6/8 6/8 7/8 7/8(3+2+2) 8/8(3+3+2) 9/8 9/8(2+2+2+3) 10/8 11/8 12/8 12/8 6/16 12/16'.split(
    ' ',
  );

/** Eighths and sixteenths do not swing in meters that are counted in them. */
export const drawMeter = (dice: Dice, swings: boolean): DrawnMeter =>
  meterFrom(dice.one(swings ? METERS.filter((m) => m.includes('/4')) : [...METERS, ...GROUPED]));

export interface DrawnBar {
  text: string;
  readonly pickup: boolean;
  readonly quarters: number;
}

/** @param strum The section's own pattern. */
export function drawBars(
  dice: Dice,
  context: BarContext,
  count: number,
  { start, pickup, strum }: { start: DrawnMeter; pickup: boolean; strum?: DrawnStrum | undefined },
): DrawnBar[] {
  let meter = start;
  const bars: DrawnBar[] = [];
  for (let i = 0; i < count; i++) {
    if (i === 0 && pickup) {
      bars.push(drawPickup(dice, context, meter));
      continue;
    }
    const next = i > 0 && dice.falls(0.08) ? drawMeter(dice, context.swings) : meter;
    // A pattern that is two bars of the new meter long would span them.
    const changes = next !== meter && strum?.length !== 2 * next.quarters;
    if (changes) meter = next;
    const simile = !changes && bars[i - 1] !== undefined && !bars[i - 1]!.pickup;
    const own = dice.falls(0.07) ? drawStrum(dice, meter) : undefined;
    const text = [
      ...(changes ? [meter.text] : []),
      drawContent(dice, context, meter, simile),
      ...(own ? [`{${own.text}}`] : []),
    ].join(' ');
    bars.push({ text, pickup: false, quarters: meter.quarters });
  }
  return bars;
}

function drawPickup(dice: Dice, { chord }: BarContext, meter: DrawnMeter): DrawnBar {
  const places = (count: number): string =>
    Array.from({ length: count }, (_, i) =>
      dice.falls(i === 0 ? 0.6 : 0.25) ? chord() : '/',
    ).join(' ');
  const pickup = true;
  if (dice.falls(0.5) && meter.beats.length > 1) {
    const count = dice.whole(1, meter.beats.length - 1);
    return { text: `pickup ${places(count)}`, pickup, quarters: 0 };
  }
  const unit = dice.one([4, 8, 16].filter((one) => (meter.quarters * one) / 4 > 1));
  const count = dice.whole(1, Math.min(9, Math.ceil((meter.quarters * unit) / 4) - 1));
  let [n, d] = [count, unit];
  while (n % 2 === 0 && d > 4) [n, d] = [n / 2, d / 2];
  return { text: `pickup ${n}/${d} ${places(n)}`, pickup, quarters: 0 };
}

function drawContent(dice: Dice, { chord }: BarContext, meter: DrawnMeter, simile: boolean) {
  const kind = dice.roll();
  if (simile && kind < 0.1) return '%';
  if (kind < 0.16) return meter.beats.map(() => '/').join(' ');
  if (kind < 0.5) return chord();
  if (kind < 0.56 && meter.beats.length % 2 === 0 && meter.unit < 8) return `${chord()} ${chord()}`;
  if (kind < 0.62 && meter.unit >= 8) {
    const place = (i: number): string => (dice.falls(i === 0 ? 0.7 : 0.25) ? chord() : '/');
    return Array.from({ length: meter.units }, (_, i) => place(i)).join(' ');
  }
  return meter.beats
    .map((_, i) => {
      const beat = dice.roll();
      if (beat < (i === 0 ? 0.6 : 0.3)) return chord();
      return beat < 0.8 ? '/' : drawSplit(dice, chord);
    })
    .join(' ');
}

function drawSplit(dice: Dice, chord: () => string): string {
  const parts = Array.from({ length: dice.one([2, 2, 2, 3, 4, 6]) }, () =>
    dice.falls(0.5) ? '/' : chord(),
  );
  return `(${[...parts.slice(0, -1), chord()].join(' ')})`;
}

/** Bar lines around the bars: repeats and endings. */
export function drawLines(dice: Dice, bars: readonly DrawnBar[]): string {
  const open = bars.map(() => '|');
  const close = bars.map(() => '|');
  for (let i = bars[0]!.pickup ? 1 : 0; i < bars.length;) {
    const left = bars.length - i;
    const kind = dice.roll();
    if (kind < 0.18) {
      const count = Math.min(left, dice.whole(1, 4));
      open[i] = '|:';
      close[i + count - 1] = dice.falls(0.3) ? `:| x${dice.whole(3, 4)}` : ':|';
      i += count;
    } else if (kind < 0.32 && left >= 3) {
      const body = Math.min(left - 2, dice.whole(1, 3));
      const first = Math.min(left - body - 1, dice.whole(1, 2));
      const [one, two] = dice.one([
        ['|1.', '|2.'],
        ['|1.', '|2.'],
        ['|1,2.', '|3.'],
      ] as const);
      open[i] = '|:';
      open[i + body] = one;
      close[i + body + first - 1] = ':|';
      open[i + body + first] = two;
      for (const at of [i + body, i + body + first]) {
        bars[at]!.text = bars[at]!.text.replace(/^%/, 'G');
      }
      i += body + first + 1;
    } else i += Math.min(left, dice.whole(1, 3));
  }
  return bars.map(({ text }, i) => `${open[i]} ${text} ${close[i]}`).join('\n');
}
