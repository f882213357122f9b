// The wall clock of this machine: the moment and the calendar date, as the log keeps them.
import { isoTimeOf } from '../../app/core/base/iso-time.ts';
import { localDate } from '../../app/core/log/days.ts';
import type { IsoDate, IsoTime, Milliseconds } from '../../app/core/base/units.ts';

export const isoNow = (): IsoTime => isoTimeOf(new Date());

export const today = (): IsoDate => localDate(isoNow());

/** Runs `action` later; returns the function that calls it off. */
export function later(wait: Milliseconds, action: () => void): () => void {
  const timer = setTimeout(action, wait);
  return () => clearTimeout(timer);
}
