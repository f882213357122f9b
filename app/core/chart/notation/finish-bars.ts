// What a bar gets from the lines around it once all of a section's bars are read: comments, and how often it repeats.
import type { Bar } from '../../model/chart.ts';
import type { BuiltBar } from './bar-build.ts';
import { usualTimes } from './print.ts';

/** Gives each comment to the first bar of the line below it. @param comments by that line's number, from 1 */
export function withComments(
  bars: readonly Bar[],
  built: readonly BuiltBar[],
  comments: ReadonlyMap<number, readonly string[]>,
): Bar[] {
  return bars.map((bar, i) => {
    const { line } = built[i]!.span;
    const above = built[i - 1]?.span.line === line ? undefined : comments.get(line);
    return above ? { ...bar, comments: above } : bar;
  });
}

/** A repeat sign that closes an ending is played as often as the endings make, unless a number says otherwise. */
export function withEndingTimes(built: readonly BuiltBar[]): Bar[] {
  const bars = built.map(({ bar }) => bar);
  return built.map(({ bar, timesTyped }, i) =>
    bar.repeatEnd === undefined || timesTyped ? bar : { ...bar, repeatEnd: usualTimes(bars, i) },
  );
}
