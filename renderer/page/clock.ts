// The wall clock of this machine: the moment and the calendar date, as the log keeps them.
import { isoTimeOf } from '../../app/core/base/iso-time.ts';
import { localDate } from '../../app/core/log/days.ts';
import type { IsoDate, IsoTime, Milliseconds } from '../../app/core/base/units.ts';

/** What the clock showed last, and the moment that was told, both in milliseconds since 1970. */
let [shown, told] = [-Infinity, -Infinity];

/**
 * The moment. Two in a row are never the same, so that what this page does stands in the order in which it was done,
 * also where its clock stands still. A clock that was set back is followed.
 */
export function isoNow(): IsoTime {
  const now = Date.now();
  told = now < shown ? now : Math.max(now, told + 1);
  shown = now;
  return isoTimeOf(new Date(told));
}

/** The date on this machine's own calendar. */
export const today = (): IsoDate => localDate(isoTimeOf(new Date()));

/** Runs `action` later; returns the function that calls it off. */
export function later(wait: Milliseconds, action: () => void): () => void {
  const timer = setTimeout(action, wait);
  return () => clearTimeout(timer);
}
