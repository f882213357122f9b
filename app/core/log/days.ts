// Practice days and weeks on the player's own calendar: a pass belongs to the date its own clock showed.
import { writable } from '../base/iso-time.ts';
import type { IsoDate, IsoTime, Share } from '../base/units.ts';
import type { PassRecord } from '../model/pass.ts';
import { passCount, type Tally, tally } from './tally.ts';

const DAY_MS = 86_400_000;

/** Date on the wall clock where and when the pass was played: the text before the T, whatever the offset. */
export const localDate = (at: IsoTime): IsoDate => at.slice(0, 10);

/**
 * Do both times, or a time and a date, show the same date? Letter by letter, from the day to the year, which is
 * several times quicker than to cut the texts: logs are long.
 */
export function onSameDate(a: IsoTime, b: IsoTime | IsoDate): boolean {
  for (let i = 9; i >= 0; i--) if (a.charCodeAt(i) !== b.charCodeAt(i)) return false;
  return true;
}

/**
 * Whole days since 1970-01-01 of a calendar date. Dates, not instants, are subtracted, so a day of
 * 23 or 25 hours at a summer-time jump is still one day. A date alone is read as UTC (ECMA-262).
 */
export const dayNumber = (date: IsoDate): number => Date.parse(date) / DAY_MS;

/** The inverse of {@link dayNumber}; a day outside four-digit years gives the nearest that can be written. */
export const dateOfDay = (day: number): IsoDate =>
  writable(new Date(day * DAY_MS))
    .toISOString()
    .slice(0, 10);

/** Calendar days from one date to another; negative if `to` is earlier. */
export const daysBetween = (from: IsoDate, to: IsoDate): number => dayNumber(to) - dayNumber(from);

/** The Monday that starts the date's week (ISO 8601 weeks begin on Monday; 1970-01-01 was a Thursday). */
export const weekOf = (date: IsoDate): IsoDate => {
  const day = dayNumber(date);
  return dateOfDay(day - ((((day + 3) % 7) + 7) % 7));
};

/** The passes from a date on, of passes in time order. Reads from the end: logs are long. */
export function passesSince<P extends Pick<PassRecord, 'at'>>(
  passes: readonly P[],
  date: IsoDate,
): readonly P[] {
  let from = passes.length;
  while (from > 0 && localDate(passes[from - 1]!.at) >= date) from--;
  return passes.slice(from);
}

/** The passes up to the end of a date, of passes in time order; all of them are given back as they are. */
export function passesUpTo<P extends Pick<PassRecord, 'at'>>(
  passes: readonly P[],
  date: IsoDate,
): readonly P[] {
  // In another time zone a calendar may be a day ahead of a later moment, never two.
  const sure = dateOfDay(dayNumber(date) - 1);
  let from = passes.length;
  while (from > 0 && localDate(passes[from - 1]!.at) >= sure) from--;
  const last = passes.slice(from);
  const kept = last.filter(({ at }) => localDate(at) <= date);
  return kept.length === last.length ? passes : [...passes.slice(0, from), ...kept];
}

export interface PracticeDay {
  readonly date: IsoDate;
  readonly passes: number;
  readonly shareClean?: Share;
  readonly minutes: number;
}

type Counted = Pick<PassRecord, 'at' | 'verdict' | 'source' | 'duration'>;

/** Days with at least one pass, earliest first. */
export function practiceDays(passes: readonly Counted[]): PracticeDay[] {
  const days = Map.groupBy(passes, (pass) => localDate(pass.at));
  return [...days].map(([date, those]) => ({ date, ...brief(those) })).sort(byDate);
}

const brief = (passes: readonly Counted[]): Omit<PracticeDay, 'date'> => briefOf(tally(passes));

/** What a day or week says of its counts. */
export const briefOf = (counts: Tally): Omit<PracticeDay, 'date'> => ({
  passes: passCount(counts),
  minutes: counts.minutes,
  ...(counts.shareClean === undefined ? {} : { shareClean: counts.shareClean }),
});

const byDate = (a: PracticeDay, b: PracticeDay): number => (a.date < b.date ? -1 : 1);
