// Where a pass begins in a recording that nobody timed: places at which the strokes fit are asked for their chords.
import type { Seconds } from '../base/units.ts';
import type { Frames } from './frames.ts';
import { beginningOf, SEEN_BEFORE } from './judge-change.ts';
import type { Expectation } from './model.ts';
import type { Network } from './network/network.ts';
import { strokesBetween } from './strokes.ts';

export interface FoundStart {
  readonly start: Seconds;
  /** Another place fits nearly as well. */
  readonly doubtful: boolean;
}

/** A stroke this far from its moment no longer speaks for a place. */
const REACH: Seconds = 0.08;
/** So many of the first strokes heard, and of the first ones due, are tried together. */
const TRIED = { heard: 80, due: 4 } as const;
/** Places nearer to each other than this are one; so many are asked for their chords, and so many of these again. */
const APART: Seconds = 0.09;
const ASKED = { first: 28, again: 6 } as const;
/** Changes that are listened to at a place: at first, and of the places that are left. */
const CHANGES = { first: 3, again: 12 } as const;
/** Log odds of "right" count no further than this, each. */
const CLIPPED = 4;
/** Two places whose mean log odds differ by less are nearly as good. */
const DOUBT = 1;

/**
 * The start time of a pass in a recording of `length`; null where no stroke was heard. `expected` says what is due
 * where the pass begins at a time. The player's own median lateness goes into it: offsets from here are relative.
 */
export function findStart(
  expected: (start: Seconds) => Expectation,
  frames: Frames,
  network: Network,
  length: Seconds,
): FoundStart | null {
  const { strokes, changes } = expected(0);
  const due = (strokes.length > 0 ? strokes.map((s) => s.at) : changes.map((c) => c.due)).toSorted(
    (a, b) => a - b,
  );
  const heard = strokesBetween(frames, 0, length).map((s) => s.at);
  if (heard.length === 0 || due.length === 0) return null;
  const agreements = placesOf(due, heard);
  const fit = (place: Place, count: number): Place => ({
    ...place,
    ...chordFit(expected(place.start), frames, network, count, length),
  });
  const first = agreements.slice(0, ASKED.first).map((place) => fit(place, CHANGES.first));
  const again = best(first)
    .slice(0, ASKED.again)
    .map((place) => fit(place, CHANGES.again));
  const [winner, second] = best(again);
  const doubtful = second !== undefined && worthOf(winner!) - worthOf(second) < DOUBT;
  return { start: winner!.start + winner!.lateness, doubtful };
}

interface Place {
  readonly start: Seconds;
  /** Share of the strokes that meet their moment, less those that are too many. */
  readonly strokes: number;
  /** Mean log odds that a change was right. */
  readonly chords: number;
  /** Middle lateness of the changes that were right. */
  readonly lateness: Seconds;
}

/** The strokes decide between places at which the chords sound alike. */
const worthOf = ({ strokes, chords }: Place): number => chords + 3 * strokes;
const best = (places: readonly Place[]): Place[] =>
  places.toSorted((a, b) => worthOf(b) - worthOf(a));

/** Best first, and no two within {@link APART}. */
function placesOf(due: readonly Seconds[], heard: readonly Seconds[]): Place[] {
  const tried = heard.slice(0, TRIED.heard).flatMap((at) =>
    due.slice(0, TRIED.due).map((first): Place => {
      const start = at - first;
      return { start, strokes: agreement(due, heard, start) / due.length, chords: 0, lateness: 0 };
    }),
  );
  const kept: Place[] = [];
  for (const place of best(tried)) {
    if (kept.every((other) => Math.abs(other.start - place.start) >= APART)) kept.push(place);
    if (kept.length === ASKED.first) break;
  }
  return kept;
}

/** Some of the changes, from the first to the last; where nothing is heard, it speaks as loudly against a place. */
function chordFit(
  expectation: Expectation,
  frames: Frames,
  network: Network,
  count: number,
  length: Seconds,
): Pick<Place, 'chords' | 'lateness'> {
  const sounding = expectation.changes.filter((change) => change.sounds);
  const asked = spread(sounding, count);
  if (asked.length === 0) return { chords: 0, lateness: 0 };
  const late: Seconds[] = [];
  const sum = asked.reduce((total, change) => {
    if (change.due < 0 || change.due > length - SEEN_BEFORE) return total - CLIPPED;
    const begun = beginningOf(expectation, change, frames, network, 'once');
    const odds = begun ? begun.impression.facts.right : -CLIPPED;
    if (begun && odds > 0) late.push(begun.at - change.due);
    return total + Math.max(-CLIPPED, Math.min(CLIPPED, odds));
  }, 0);
  late.sort((a, b) => a - b);
  return { chords: sum / asked.length, lateness: late[late.length >> 1] ?? 0 };
}

/** `count` of them at even distances, first and last among them. */
function spread<T>(all: readonly T[], count: number): readonly T[] {
  if (all.length <= count) return all;
  return Array.from(
    { length: count },
    (_, i) => all[Math.round((i * (all.length - 1)) / (count - 1))]!,
  );
}

/** Strokes that meet one count up to 1 each; those inside the pass that nothing explains count against. */
function agreement(due: readonly Seconds[], heard: readonly Seconds[], start: Seconds): number {
  const met = due.reduce((sum, d) => sum + Math.max(0, 1 - apart(heard, start + d) / REACH), 0);
  const [from, to] = [start + due[0]! - REACH, start + due.at(-1)! + REACH];
  const inside = heard.filter((h) => h > from && h < to).length;
  return met - 0.3 * Math.max(0, inside - met);
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
