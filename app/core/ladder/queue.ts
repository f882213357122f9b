// A sitting as a queue of climbs, each with its minutes, one after another or in turns: a pure reducer.
import type { Bpm, Seconds } from '../base/units.ts';
import {
  afterBreak,
  type BreakClock,
  breakDue,
  BREAK_MINUTES,
  declined,
  FRESH_CLOCK,
  playedFor,
  playingFrom,
} from './break-clock.ts';
import type { StopReason } from './model.ts';

export interface QueueRules {
  /**
   * Climbs take turns instead of being finished one by one. Taking turns helped in some studies and not
   * in others (Carter & Grahn 2016; Czyż et al. 2024): an option, never a promise.
   */
  readonly rotate: boolean;
  /** Minutes of one turn, 1–60. */
  readonly turnMinutes: number;
  /** Minutes of playing between two breaks, 5–120. */
  readonly breakEvery: number;
}

export interface QueueItem {
  readonly id: string;
  /** Whole minutes, 1–240. */
  readonly minutes: number;
}

export interface QueueProgress extends QueueItem {
  readonly played: Seconds;
  /** Tempo at which the last turn ended; the next one begins there. */
  readonly reached: Bpm | null;
  readonly done: boolean;
}

/** between: the next climb waits for a key. break: the player rests. */
export type QueuePhase = 'between' | 'climbing' | 'break' | 'ended';

export interface QueueState {
  readonly rules: QueueRules;
  readonly items: readonly QueueProgress[];
  readonly phase: QueuePhase;
  /** The climb that is on, or that comes next; null once nothing is left. */
  readonly current: string | null;
  readonly clock: BreakClock;
  /** A break has been suggested and not yet answered. */
  readonly breakOffered: boolean;
  readonly ended: 'done' | 'player' | 'hurts' | null;
}

export type QueueEvent =
  /** Begins the next climb; an offered break is thereby declined. */
  | { readonly kind: 'go-on'; readonly now: Seconds }
  | {
      readonly kind: 'climb-ended';
      readonly reason: StopReason;
      readonly played: Seconds;
      readonly reached: Bpm;
      readonly now: Seconds;
    }
  | { readonly kind: 'take-break' }
  /** Leaves out the climb that comes next. */
  | { readonly kind: 'skip' }
  | { readonly kind: 'stop'; readonly reason: 'player' | 'hurts' };

export type QueueEffect =
  /** Begin this climb with these minutes; `from` is where its last turn ended, or null. */
  | {
      readonly kind: 'climb';
      readonly id: string;
      readonly minutes: number;
      readonly from: Bpm | null;
    }
  | { readonly kind: 'offer-break'; readonly minutes: number }
  | { readonly kind: 'ended'; readonly reason: 'done' | 'player' | 'hurts' };

export interface QueueStep {
  readonly state: QueueState;
  readonly effects: readonly QueueEffect[];
}

/** Less than this is not worth a turn of its own (our choice, no source). */
const LEAST: Seconds = 60;

/** A queue before its first climb. @throws RangeError without items, or with the same id twice. */
export function newQueue(
  items: readonly QueueItem[],
  rules: QueueRules,
  clock: BreakClock = FRESH_CLOCK,
): QueueState {
  if (items.length === 0 || new Set(items.map((i) => i.id)).size < items.length) {
    throw new RangeError('newQueue: a queue needs one item or more, each with an id of its own');
  }
  return {
    rules,
    items: items.map((item) => ({ ...item, played: 0, reached: null, done: false })),
    phase: 'between',
    current: items[0]?.id ?? null,
    clock,
    breakOffered: false,
    ended: null,
  };
}

/** One event; those that mean nothing in the present phase change nothing. */
export function stepQueue(state: QueueState, event: QueueEvent): QueueStep {
  const climbing = state.phase === 'climbing';
  if (state.phase === 'ended' || climbing !== (event.kind === 'climb-ended')) return still(state);
  switch (event.kind) {
    case 'go-on':
      return goOn(state, event.now);
    case 'climb-ended':
      return climbEnded(state, event);
    case 'take-break':
      return still({
        ...state,
        phase: 'break',
        breakOffered: false,
        clock: afterBreak(state.clock),
      });
    case 'skip':
      return advance(amend(state, { done: true }));
    case 'stop':
      return end(state, event.reason);
  }
}

/** Minutes that the current climb gets: its turn, or all that is left of its own. */
export function minutesOf(state: QueueState): number {
  const item = state.items.find((i) => i.id === state.current);
  if (item === undefined) return 0;
  const left = item.minutes - item.played / 60;
  const alone = state.items.filter((i) => !i.done).length === 1;
  const turn = state.rules.rotate && !alone ? Math.min(left, state.rules.turnMinutes) : left;
  return Math.max(1, Math.round(turn));
}

function goOn(state: QueueState, now: Seconds): QueueStep {
  const item = state.items.find((i) => i.id === state.current);
  if (item === undefined) return still(state);
  const answered = state.breakOffered ? declined(state.clock) : state.clock;
  const clock = playingFrom(answered, now);
  const next: QueueState = { ...state, phase: 'climbing', breakOffered: false, clock };
  const minutes = minutesOf(state);
  return { state: next, effects: [{ kind: 'climb', id: item.id, minutes, from: item.reached }] };
}

function climbEnded(
  state: QueueState,
  event: Extract<QueueEvent, { kind: 'climb-ended' }>,
): QueueStep {
  const item = state.items.find((i) => i.id === state.current) as QueueProgress;
  const played = item.played + event.played;
  const left = item.minutes * 60 - played;
  const done = event.reason === 'top' || !state.rules.rotate || left < LEAST;
  const clock = playedFor(state.clock, event.played, event.now);
  const counted = amend({ ...state, clock }, { played, reached: event.reached, done });
  if (event.reason === 'hurts') return end(counted, 'hurts');
  return advance(counted);
}

/** To the next climb in line, or to the end; a break is suggested in between when it is time. */
function advance(state: QueueState): QueueStep {
  const next = nextOf(state);
  if (next === null) return end(state, 'done');
  const offer = !state.breakOffered && breakDue(state.clock, state.rules.breakEvery);
  return {
    state: {
      ...state,
      phase: 'between',
      current: next,
      breakOffered: state.breakOffered || offer,
    },
    effects: offer ? [{ kind: 'offer-break', minutes: BREAK_MINUTES }] : [],
  };
}

/** Without rotation the first that is not done; with it the next one round the circle. */
function nextOf({ items, current, rules }: QueueState): string | null {
  const at = rules.rotate ? items.findIndex((i) => i.id === current) + 1 : 0;
  const circle = [...items.slice(at), ...items.slice(0, at)];
  return circle.find((i) => !i.done)?.id ?? null;
}

function end(state: QueueState, reason: 'done' | 'player' | 'hurts'): QueueStep {
  const ended: QueueState = {
    ...state,
    phase: 'ended',
    current: null,
    breakOffered: false,
    ended: reason,
  };
  return { state: ended, effects: [{ kind: 'ended', reason }] };
}

function amend(state: QueueState, change: Partial<QueueProgress>): QueueState {
  const items = state.items.map((i) => (i.id === state.current ? { ...i, ...change } : i));
  return { ...state, items };
}

const still = (state: QueueState): QueueStep => ({ state, effects: [] });
