// Swing: where a moment written in even notes really falls.
import { type Rational, add, compare, div, mul, rational, sub, ZERO } from '../base/rational.ts';
import type { Feel } from '../model/chart.ts';

/**
 * Moves a position (quarter notes from the start of the bar, even notes) to where it sounds.
 * In every pair of eighths (or sixteenths) the first note takes long/(long + short) of the pair and
 * what lies inside a note is stretched with it, so order is kept and pair starts never move.
 * `barOffset` is what a pickup bar leaves out at its front: pairs are counted from the full bar.
 */
export function swung(at: Rational, feel: Feel, barOffset: Rational = ZERO): Rational {
  if (feel.kind === 'straight') return at;
  const pair = feel.value === 8 ? rational(1) : rational(1, 2);
  const inBar = add(at, barOffset);
  const pairIndex = Math.floor((inBar.n * pair.d) / (inBar.d * pair.n));
  const start = mul(rational(pairIndex), pair);
  const inPair = div(sub(inBar, start), pair);
  return sub(add(start, mul(pair, swungShare(inPair, feel.long, feel.short))), barOffset);
}

/** Share of the pair (0–1) at which a share of the even pair sounds. */
function swungShare(share: Rational, long: number, short: number): Rational {
  const whole = long + short;
  const half = rational(1, 2);
  if (compare(share, half) <= 0) return mul(share, rational(2 * long, whole));
  return add(rational(long, whole), mul(sub(share, half), rational(2 * short, whole)));
}
