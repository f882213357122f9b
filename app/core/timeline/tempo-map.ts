// Positions to seconds: one multiplication from the start of the stretch of constant tempo they lie in.
import { type Rational, add, compare, sub, toNumber, ZERO } from '../base/rational.ts';
import type { Seconds } from '../base/units.ts';
import type { PaceStretch } from '../model/unit.ts';
import { lastAtOrBefore } from './search.ts';

interface Lasting {
  readonly length: Rational;
  /** Length of a quarter note at the bar's own tempo. */
  readonly quarter: Seconds;
  /** Where the bar leaves its own tempo. */
  readonly pace?: readonly PaceStretch[];
}

interface Stretch {
  readonly at: Rational;
  readonly seconds: Seconds;
  readonly quarter: Seconds;
}

const secondsIn = (stretch: Stretch, at: Rational): Seconds =>
  stretch.seconds + toNumber(sub(at, stretch.at)) * stretch.quarter;

/** The stretches of constant tempo inside a bar that starts at `at`: one, unless it has a pace of its own. */
const stretchesOf = (bar: Lasting, at: Rational): readonly Omit<Stretch, 'seconds'>[] =>
  bar.pace?.map((part) => ({ at: add(at, part.at), quarter: bar.quarter / part.rate })) ?? [
    { at, quarter: bar.quarter },
  ];

/** Gives every bar its place; a new stretch begins only where the tempo changes. */
export function placeInTime<T extends Lasting>(
  bars: readonly T[],
): readonly (T & { readonly at: Rational; readonly seconds: Seconds })[] {
  let at = ZERO;
  let stretch: Stretch = { at, seconds: 0, quarter: bars[0]?.quarter ?? 0 };
  return bars.map((bar) => {
    const placed = { ...bar, at, seconds: secondsIn(stretch, at) };
    for (const next of stretchesOf(bar, at)) {
      const seconds = secondsIn(stretch, next.at);
      if (next.quarter !== stretch.quarter) stretch = { ...next, seconds };
    }
    at = add(at, bar.length);
    return placed;
  });
}

/** A bar with its place in the lap. */
export type PlacedBar = Lasting & Pick<Stretch, 'at' | 'seconds'>;

/** A bar's stretches of constant tempo, with the seconds at which each begins. */
export function stretchesIn(bar: PlacedBar): readonly Stretch[] {
  let before: Stretch = { at: bar.at, seconds: bar.seconds, quarter: bar.quarter };
  return stretchesOf(bar, bar.at).map((next) => {
    before = { ...next, seconds: secondsIn(before, next.at) };
    return before;
  });
}

/** Seconds from the start of the lap at a place in the bar, in quarter notes from its start. */
export function secondsInBar(bar: PlacedBar, inBar: Rational): Seconds {
  if (!bar.pace) return bar.seconds + toNumber(inBar) * bar.quarter;
  const at = add(bar.at, inBar);
  const stretches = stretchesIn(bar);
  return secondsIn(stretches.findLast((s) => compare(s.at, at) <= 0) ?? stretches[0]!, at);
}

/** From quarter notes to seconds, both from the start of the lap; the last stretch goes on for ever. */
export function tempoMap(bars: readonly PlacedBar[]): (at: Rational) => Seconds {
  const stretches: Stretch[] = [];
  for (const stretch of bars.flatMap((bar) => (bar.pace ? stretchesIn(bar) : [bar]))) {
    if (stretch.quarter !== stretches.at(-1)?.quarter) stretches.push(stretch);
  }
  return (at) => {
    const i = lastAtOrBefore(stretches, (stretch) => compare(stretch.at, at));
    return secondsIn(stretches[Math.max(0, i)]!, at);
  };
}
