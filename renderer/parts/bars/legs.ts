// The sections that a unit runs through.
import type { PlayedBar } from '../../../app/core/model/unit.ts';

/** One time through a section within a unit. */
export interface Leg {
  readonly section: string;
  readonly from: number;
  readonly to: number;
}

/** The sections a unit runs through, in order; one leg for a plain section. */
export function legsOf(bars: readonly PlayedBar[]): readonly Leg[] {
  const legs: { section: string; from: number; to: number }[] = [];
  bars.forEach((bar, i) => {
    const before = bars[i - 1];
    const starts = before?.section !== bar.section || before.time !== bar.time;
    const last = legs.at(-1);
    if (starts || !last) legs.push({ section: bar.section, from: i, to: i });
    else last.to = i;
  });
  return legs;
}

/** The leg that holds a bar, and how many bars of it are still to come. */
export function legAt(
  legs: readonly Leg[],
  bar: number,
): { readonly index: number; readonly toGo: number } {
  const index = Math.max(
    0,
    legs.findIndex((leg) => bar >= leg.from && bar <= leg.to),
  );
  return { index, toGo: (legs[index]?.to ?? bar) - bar };
}
