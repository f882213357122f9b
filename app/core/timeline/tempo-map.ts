// Positions to seconds: one multiplication from the start of the stretch of constant tempo they lie in.
import { type Rational, add, compare, sub, toNumber, ZERO } from '../base/rational.ts';
import type { Seconds } from '../base/units.ts';
import { lastAtOrBefore } from './search.ts';

interface Lasting {
  readonly length: Rational;
  readonly quarter: Seconds;
}

interface Stretch {
  readonly at: Rational;
  readonly seconds: Seconds;
  readonly quarter: Seconds;
}

const secondsIn = (stretch: Stretch, at: Rational): Seconds =>
  stretch.seconds + toNumber(sub(at, stretch.at)) * stretch.quarter;

/** Gives every bar its place; a new stretch begins only where the tempo changes. */
export function placeInTime<T extends Lasting>(
  bars: readonly T[],
): readonly (T & { readonly at: Rational; readonly seconds: Seconds })[] {
  let at = ZERO;
  let stretch: Stretch = { at, seconds: 0, quarter: bars[0]?.quarter ?? 0 };
  return bars.map((bar) => {
    const seconds = secondsIn(stretch, at);
    if (bar.quarter !== stretch.quarter) stretch = { at, seconds, quarter: bar.quarter };
    const placed = { ...bar, at, seconds };
    at = add(at, bar.length);
    return placed;
  });
}

/** From quarter notes to seconds, both from the start of the lap; the last stretch goes on for ever. */
export function tempoMap(bars: readonly (Lasting & Stretch)[]): (at: Rational) => Seconds {
  const stretches: Stretch[] = [];
  for (const bar of bars) if (bar.quarter !== stretches.at(-1)?.quarter) stretches.push(bar);
  return (at) => {
    const i = lastAtOrBefore(stretches, (stretch) => compare(stretch.at, at));
    return secondsIn(stretches[Math.max(0, i)]!, at);
  };
}
