// Tells press, hold and double press apart in the ups and downs of keys and pedals; time comes from outside.
import type { Milliseconds } from '../../app/core/base/units.ts';
import type { Gesture, Signal } from './bindings.ts';

/** Contacts of a foot switch bounce for some milliseconds; two real presses are never this close. */
export const BOUNCE_MS: Milliseconds = 30;
/** Long enough that no tap is one, short enough to wait for (common practice, no source). */
export const HOLD_MS: Milliseconds = 500;
/** From the first release to the second press (common practice, no source). */
export const DOUBLE_MS: Milliseconds = 300;

/** A key or pedal going down or up. */
export interface Edge {
  readonly signal: Signal;
  readonly down: boolean;
  readonly at: Milliseconds;
}

/** Which gestures mean something on a signal: what means nothing need not be waited for. */
export interface Wanted {
  readonly hold: boolean;
  readonly double: boolean;
}

/** One signal's story so far; signals at rest are not listed. */
type Story =
  /** `settled`: its gesture has been told; only the release is awaited. */
  | {
      readonly kind: 'down';
      readonly pressed: Milliseconds;
      readonly settled: boolean;
      readonly wanted: Wanted;
    }
  /** Up, but perhaps only a bounce. */
  | {
      readonly kind: 'lifting';
      readonly since: Milliseconds;
      readonly pressed: Milliseconds;
      readonly settled: boolean;
      readonly wanted: Wanted;
    }
  /** Pressed once; a second press would make it double. */
  | {
      readonly kind: 'once';
      readonly since: Milliseconds;
      readonly pressed: Milliseconds;
      readonly wanted: Wanted;
    };

export type Presses = ReadonlyMap<Signal, Story>;
export const NO_PRESSES: Presses = new Map();

export interface Told {
  readonly signal: Signal;
  readonly gesture: Gesture;
  /** When it first went down: a gesture is told later than it was begun. */
  readonly at: Milliseconds;
}

export interface Read {
  readonly presses: Presses;
  readonly gestures: readonly Told[];
  /** When to call {@link readTime} if nothing happens before; undefined when nothing is pending. */
  readonly wakeAt: Milliseconds | undefined;
}

/** Reads one edge. Time must not go backward. */
export function readEdge(before: Presses, edge: Edge, wanted: Wanted): Read {
  const due = readTime(before, edge.at);
  const told = [...due.gestures];
  const story = due.presses.get(edge.signal);
  const next = edge.down
    ? pressed(story, edge, wanted, (gesture, at) => told.push({ signal: edge.signal, gesture, at }))
    : lifted(story, edge.at);
  const presses = new Map(due.presses);
  if (next === undefined) presses.delete(edge.signal);
  else presses.set(edge.signal, next);
  return { presses, gestures: told, wakeAt: nextDue(presses) };
}

/** Reads what time alone decides: a hold that is long enough, a second press that did not come. */
export function readTime(before: Presses, now: Milliseconds): Read {
  const presses = new Map(before);
  const gestures: Told[] = [];
  for (const [signal] of before) {
    // A lift that is confirmed may at once be a first press whose second did not come.
    for (let story = presses.get(signal); story && dueAt(story) <= now;) {
      const gesture = toldWhenDue(story);
      if (gesture) gestures.push({ signal, gesture, at: story.pressed });
      story = whenDue(story);
      if (story === undefined) presses.delete(signal);
      else presses.set(signal, story);
    }
  }
  return { presses, gestures, wakeAt: nextDue(presses) };
}

function pressed(
  story: Story | undefined,
  { at }: Edge,
  wanted: Wanted,
  tell: (gesture: Gesture, at: Milliseconds) => void,
): Story {
  switch (story?.kind) {
    case 'down':
      return story;
    case 'lifting':
      return { ...story, kind: 'down' };
    case 'once':
      tell('double', story.pressed);
      return { kind: 'down', pressed: at, settled: true, wanted };
    case undefined: {
      const atOnce = !wanted.hold && !wanted.double;
      if (atOnce) tell('press', at);
      return { kind: 'down', pressed: at, settled: atOnce, wanted };
    }
  }
}

function lifted(story: Story | undefined, at: Milliseconds): Story | undefined {
  return story?.kind === 'down' ? { ...story, kind: 'lifting', since: at } : story;
}

function dueAt(story: Story): Milliseconds {
  switch (story.kind) {
    case 'down':
      return story.wanted.hold && !story.settled ? story.pressed + HOLD_MS : Infinity;
    case 'lifting':
      return story.since + BOUNCE_MS;
    case 'once':
      return story.since + DOUBLE_MS;
  }
}

function toldWhenDue(story: Story): Gesture | undefined {
  switch (story.kind) {
    case 'down':
      return 'hold';
    case 'lifting':
      return story.settled || story.wanted.double ? undefined : 'press';
    case 'once':
      return 'press';
  }
}

function whenDue(story: Story): Story | undefined {
  switch (story.kind) {
    case 'down':
      return { ...story, settled: true };
    case 'lifting':
      return story.settled || !story.wanted.double ? undefined : { ...story, kind: 'once' };
    case 'once':
      return undefined;
  }
}

function nextDue(presses: Presses): Milliseconds | undefined {
  const soonest = Math.min(...[...presses.values()].map(dueAt));
  return Number.isFinite(soonest) ? soonest : undefined;
}
