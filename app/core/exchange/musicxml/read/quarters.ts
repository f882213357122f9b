// Durations and meters of a file from elsewhere, kept within bounds in which exact sums stay exact.
import { type Rational, rational } from '../../../base/rational.ts';
import { checkMeter, defaultGrouping, meterOf } from '../../../rhythm/meter.ts';
import type { Meter } from '../../../model/chart.ts';
import { type XmlNode, childrenOf } from '../xml-read.ts';

/** Beyond these a position is rounded to 1/960 quarter: products of two must stay safe integers. */
const [MAX_NUMERATOR, MAX_DENOMINATOR, GRID, LONGEST] = [10_000_000, 1_000_000, 960, 10_000];

/** Quarter notes of a duration in divisions; durations may have decimals in the standard. */
export const quartersOf = (duration: number, divisions: number): Rational =>
  bounded(rational(Math.round(duration * 1000), Math.max(1, Math.round(divisions * 1000))));

/** Quarter notes of which products stay safe integers; a finer or longer one is rounded. */
export function bounded(length: Rational): Rational {
  if (Math.abs(length.n) <= MAX_NUMERATOR && length.d <= MAX_DENOMINATOR) return length;
  const quarters = Math.min(LONGEST, Math.max(-LONGEST, length.n / length.d));
  return rational(Math.round(quarters * GRID), GRID);
}

/** "7" over 8, "3+2+2" over 8, or several fractions with one denominator; undefined for anything else. */
export function meterOfTime(time: XmlNode): Meter | undefined {
  const beats = childrenOf(time, 'beats').map((node) => node.text);
  const types = new Set(childrenOf(time, 'beat-type').map((node) => node.text));
  const unit = ([2, 4, 8, 16] as const).find((u) => types.size === 1 && types.has(String(u)));
  const sum = beats.join('+');
  if (!unit || !/^\d{1,2}(?:\s*\+\s*\d{1,2})*$/.test(sum)) return undefined;
  const groups = sum.split('+').map(Number);
  const numerator = groups.reduce((a, b) => a + b, 0);
  const written: Meter = { numerator, unit, grouping: groups };
  if (groups.length > 1 && checkMeter(written).ok) return written;
  if (numerator < 1 || numerator > 96) return undefined;
  const usual: Meter = { numerator, unit, grouping: defaultGrouping(numerator, unit) };
  return checkMeter(usual).ok ? usual : undefined;
}

/** A meter that lasts so long: 3/2 quarter notes are 3/8. */
export function meterOfLength({ n, d }: Rational): Meter | undefined {
  const unit = ([4, 8, 16] as const).find((u) => (n * u) % (d * 4) === 0);
  const numerator = unit ? (n * unit) / (d * 4) : 0;
  if (!unit || numerator < 1) return undefined;
  const meter = meterOf(Math.min(numerator, 96), unit);
  return checkMeter(meter).ok && meter.numerator === numerator ? meter : undefined;
}
