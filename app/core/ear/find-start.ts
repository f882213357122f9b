// Where a pass begins in a recording that nobody timed: the place at which most strokes meet their moment.
import type { Seconds } from '../base/units.ts';
import type { Onset } from './onsets.ts';

/** A stroke this far from its moment no longer speaks for a place. */
const REACH: Seconds = 0.08;
/** So many of the first onsets are tried as the first strokes. */
const TRIED = 60;

/**
 * The start time at which the due strokes (from 0, by time) fit the onsets best; null when there are none. The
 * player's own median lateness goes into it: offsets from here are relative, and whoever shows them says so.
 */
export function findStart(due: readonly Seconds[], onsets: readonly Onset[]): Seconds | null {
  const heard = onsets.filter((o) => o.strength >= 1).map((o) => o.at);
  if (heard.length === 0 || due.length === 0) return null;
  let best: { start: Seconds; score: number } | null = null;
  for (const at of heard.slice(0, TRIED)) {
    for (const first of due.slice(0, 4)) {
      const start = at - first;
      const score = agreement(due, heard, start);
      if (!best || score > best.score + 1e-9) best = { start, score };
    }
  }
  return best && best.start + medianLateness(due, heard, best.start);
}

/** Strokes that meet an onset count up to 1 each; onsets inside the pass that no stroke explains count against. */
function agreement(due: readonly Seconds[], heard: readonly Seconds[], start: Seconds): number {
  const met = due.reduce((sum, d) => sum + Math.max(0, 1 - apart(heard, start + d) / REACH), 0);
  const [from, to] = [start + due[0]! - REACH, start + due.at(-1)! + REACH];
  const inside = heard.filter((h) => h > from && h < to).length;
  return met - 0.5 * Math.max(0, inside - met);
}

function medianLateness(
  due: readonly Seconds[],
  heard: readonly Seconds[],
  start: Seconds,
): Seconds {
  const late = due.flatMap((d) => {
    const near = nearest(heard, start + d) - (start + d);
    return Math.abs(near) <= REACH ? [near] : [];
  });
  return late.toSorted((a, b) => a - b)[Math.floor(late.length / 2)] ?? 0;
}

const apart = (heard: readonly Seconds[], at: Seconds): Seconds =>
  Math.abs(nearest(heard, at) - at);

function nearest(heard: readonly Seconds[], at: Seconds): Seconds {
  let low = 0;
  let high = heard.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (heard[middle]! < at) low = middle + 1;
    else high = middle;
  }
  const [before, after] = [heard[low - 1] ?? -Infinity, heard[low]!];
  return at - before < Math.abs(after - at) ? before : after;
}
