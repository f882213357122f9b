// When to suggest a break: early in a sitting, then after every so many minutes of playing, never inside a climb.
import type { Seconds } from '../base/units.ts';

/** Length of a break. A pause between climbs that is as long counts as one. */
export const BREAK_MINUTES = 5;
/**
 * The first break comes early: a five-minute rest early in practice beat a late one and none (Cash 2009,
 * JRME 57). How early in minutes is our choice, no source.
 */
const FIRST_BREAK_MINUTES = 10;

export interface BreakClock {
  /** Seconds of playing since the last break, and at the time a break was last declined. */
  readonly played: Seconds;
  readonly declinedAt: Seconds | null;
  readonly breaks: number;
  /** Caller's clock at the end of the last climb. */
  readonly lastEnd: Seconds | null;
}

export const FRESH_CLOCK: BreakClock = { played: 0, declinedAt: null, breaks: 0, lastEnd: null };

/** A climb begins: if nobody played for the length of a break, that was one. */
export function playingFrom(clock: BreakClock, now: Seconds): BreakClock {
  const idle = clock.lastEnd === null ? 0 : now - clock.lastEnd;
  return idle >= BREAK_MINUTES * 60 ? afterBreak(clock) : clock;
}

/** A climb has ended after `seconds` of playing. */
export const playedFor = (clock: BreakClock, seconds: Seconds, now: Seconds): BreakClock => ({
  ...clock,
  played: clock.played + Math.max(0, seconds),
  lastEnd: now,
});

/**
 * Is it time to suggest a break? `every` is the player's own setting in minutes, 5–120; the first one
 * comes no later than that. After a refusal it is suggested again {@link FIRST_BREAK_MINUTES} later.
 */
export function breakDue(clock: BreakClock, every: number): boolean {
  const usual = clock.breaks === 0 ? Math.min(FIRST_BREAK_MINUTES, every) : every;
  const again = (clock.declinedAt ?? -Infinity) + FIRST_BREAK_MINUTES * 60;
  return clock.played >= Math.max(usual * 60, again);
}

/** A break was taken: the time to the next begins anew. */
export const afterBreak = (clock: BreakClock): BreakClock => ({
  ...clock,
  played: 0,
  declinedAt: null,
  breaks: clock.breaks + 1,
});

/** The break was put off: it is offered again {@link FIRST_BREAK_MINUTES} of playing later. */
export const declined = (clock: BreakClock): BreakClock => ({ ...clock, declinedAt: clock.played });
