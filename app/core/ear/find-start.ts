// Where a pass begins in a recording that nobody timed: places at which the strokes fit are asked for their chords.
import type { Seconds } from '../base/units.ts';
import { type Frames, slowFrameAt } from './frames.ts';
import { beginningOf, SEEN_BEFORE } from './judge-change.ts';
import type { Expectation, ExpectedChange, ExpectedChord } from './model.ts';
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
const ASKED = { first: 24, again: 8 } as const;
/** Changes that are listened to at a place: at first, and of the places that are left. */
const CHANGES = { first: 4, again: 12 } as const;
/** Log odds of "right" count no further than this, each. */
const CLIPPED = 4;
/** Beats before its moment at which a chord must not sound yet: else the place is so many beats late. */
const NOT_YET = [1, 2] as const;
/** A change counts no further than this against a place, since it may have been played wrong; in log odds. */
const PLAYED_WRONG = -2;
/** So many log odds all strokes together are worth, chosen with {@link PLAYED_WRONG} on the validation part. */
const STROKES = 8;
/** A chord is told apart from no shorter a sound. */
const LEAST_HEARD: Seconds = 0.3;
/** So many right changes say how late the player is on the whole; else the strokes do. */
const ENOUGH = 4;
/** Two places whose worth differs by less are nearly as good. */
const DOUBT = 0.8;
/**
 * The second opinion takes each change by itself: so many are played right, of the others nothing is known; and all
 * strokes together are worth so many nats. Where it prefers another place, the first one is doubtful.
 */
const SECOND = { right: 0.75, strokes: 40 } as const;

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
  const listens = chordsAt(frames, network, length);
  const first = placesOf(due, heard).map((place) => ({
    ...place,
    ...chordFit(expected(place.start), listens, CHANGES.first, []),
  }));
  const again = best(first)
    .slice(0, ASKED.again)
    .map((place) => ({
      ...place,
      ...chordFit(expected(place.start), listens, CHANGES.again, NOT_YET),
    }));
  const [winner, second] = best(again);
  const near = second !== undefined && worthOf(winner!) - worthOf(second) < DOUBT;
  const doubtful = near || again.some((place) => likelihoodOf(place) > likelihoodOf(winner!));
  const lateness = winner!.lateness ?? strokesLate(due, heard, winner!.start);
  return { start: winner!.start + lateness, doubtful };
}

interface Place {
  readonly start: Seconds;
  /** Share of the strokes that meet their moment, less those that are too many. */
  readonly strokes: number;
  /** How much surer each chord is at its moment than before it, in log odds, on average. */
  readonly chords: number;
  /** How likely what was heard at all changes is if the pass begins here, against any chord; in nats. */
  readonly likely: number;
  /** Middle lateness of the changes that were right, where there are enough of them. */
  readonly lateness: Seconds | undefined;
}

const worthOf = ({ strokes, chords }: Place): number => chords + STROKES * strokes;
const likelihoodOf = ({ strokes, likely }: Place): number => likely + SECOND.strokes * strokes;
const best = (places: readonly Place[]): Place[] =>
  places.toSorted((a, b) => worthOf(b) - worthOf(a));

/** Best first, and no two within {@link APART}. */
function placesOf(due: readonly Seconds[], heard: readonly Seconds[]): Place[] {
  const tried = heard.slice(0, TRIED.heard).flatMap((at) =>
    due.slice(0, TRIED.due).map((first): Place => {
      const start = at - first;
      return {
        start,
        strokes: agreement(due, heard, start) / due.length,
        chords: 0,
        likely: 0,
        lateness: undefined,
      };
    }),
  );
  const kept: Place[] = [];
  for (const place of best(tried)) {
    if (kept.every((other) => Math.abs(other.start - place.start) >= APART)) kept.push(place);
    if (kept.length === ASKED.first) break;
  }
  return kept;
}

interface HeardThere {
  /** Log odds that the change's chord was struck there, clipped. */
  readonly odds: number;
  readonly late: Seconds;
}

type ChordsAt = (expectation: Expectation, change: ExpectedChange, before: Seconds) => HeardThere;

/** Listens for the chord of a change at its moment or some time before it; each frame is asked once for a change. */
function chordsAt(frames: Frames, network: Network, length: Seconds): ChordsAt {
  const known = new Map<string, HeardThere>();
  const listenAt = (expectation: Expectation, change: ExpectedChange): HeardThere => {
    const nothing = { odds: -CLIPPED, late: 0 };
    if (change.due < 0 || change.due > length - SEEN_BEFORE) return nothing;
    const begun = beginningOf(expectation, change, frames, network, 'once');
    if (!begun) return nothing;
    const odds = Math.max(-CLIPPED, Math.min(CLIPPED, begun.impression.facts.right));
    return { odds, late: begun.at - change.due };
  };
  return (expectation, change, before) => {
    const moved = { ...change, due: change.due - before, until: change.until - before };
    const key = `${change.change} ${change.to!.symbol} ${slowFrameAt(moved.due)}`;
    let there = known.get(key);
    if (!there) known.set(key, (there = listenAt(expectation, moved)));
    return there;
  };
}

/** Some of the changes, from the first to the last; each less what is heard of its chord too early. */
function chordFit(
  expectation: Expectation,
  listens: ChordsAt,
  count: number,
  notYet: readonly number[],
): Pick<Place, 'chords' | 'likely' | 'lateness'> {
  const asked = spread(
    expectation.changes.filter((change) => change.sounds),
    count,
  );
  if (asked.length === 0) return { chords: 0, likely: 0, lateness: undefined };
  const late: Seconds[] = [];
  let likely = 0;
  const sum = asked.reduce((total, change) => {
    const there = listens(expectation, change, 0);
    if (there.odds > 0) late.push(there.late);
    likely += Math.log(2 * SECOND.right * probability(there.odds) + 1 - SECOND.right);
    const alike = change.from && sameTones(change.from, change.to!);
    if (alike || notYet.length === 0) return total + there.odds + CLIPPED;
    const early = notYet.map((n) => listens(expectation, change, n * expectation.beat).odds);
    const still = change.from
      ? [listens(expectation, stillBefore(expectation, change), 0).odds]
      : [];
    return total + Math.max(PLAYED_WRONG, there.odds - Math.max(...early, ...still));
  }, 0);
  late.sort((a, b) => a - b);
  const lateness = late.length < ENOUGH ? undefined : late[late.length >> 1];
  return { chords: sum / asked.length, likely, lateness };
}

const probability = (odds: number): number => 1 / (1 + Math.exp(-odds));

/** The chord before, asked for where the change is due: else the place is a little early. */
const stillBefore = ({ beat }: Expectation, change: ExpectedChange): ExpectedChange => ({
  ...change,
  to: change.from,
  from: null,
  until: Math.min(change.until, change.due + Math.max(LEAST_HEARD, beat / 2)),
});

const sameTones = (a: ExpectedChord, b: ExpectedChord): boolean =>
  a.pitchClasses.toSorted().join() === b.pitchClasses.toSorted().join();

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

function strokesLate(due: readonly Seconds[], heard: readonly Seconds[], start: Seconds): Seconds {
  const late = due.flatMap((d) => {
    const near = nearest(heard, start + d) - (start + d);
    return Math.abs(near) <= REACH ? [near] : [];
  });
  return late.toSorted((a, b) => a - b)[late.length >> 1] ?? 0;
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
