// Practised days and weeks from their counts.
import { eachOf } from '../base/each-of.ts';
import type { IsoDate } from '../base/units.ts';
import { PASS_VERDICTS, VERDICT_SOURCES } from '../model/pass.ts';
import { briefOf, dateOfDay, dayNumber, type PracticeDay, weekOf } from './days.ts';
import { type Tally, withShare } from './tally.ts';

export interface PracticeWeek extends Omit<PracticeDay, 'date'> {
  /** Monday. */
  readonly from: IsoDate;
  readonly days: number;
}

/** A day with its counts. */
export interface DayCount extends Tally {
  readonly date: IsoDate;
}

/**
 * Every week from the first to the last practised, empty weeks included, so that gaps show.
 * @param counts practised days, earliest first
 */
export function practiceWeeks(counts: readonly DayCount[]): PracticeWeek[] {
  const weeks = Map.groupBy(counts, ({ date }) => weekOf(date));
  const mondays = [...weeks.keys()].map(dayNumber);
  if (mondays.length === 0) return [];
  const count = (mondays.at(-1)! - mondays[0]!) / 7 + 1;
  return Array.from({ length: count }, (_, i) => {
    const from = dateOfDay(mondays[0]! + 7 * i);
    const those = weeks.get(from) ?? [];
    return { from, days: those.length, ...briefOf(addTallies(those)) };
  });
}

/** The day in brief. */
export const dayOf = ({ date, ...counts }: DayCount): PracticeDay => ({
  date,
  ...briefOf(counts),
});

/** The counts of all together. */
function addTallies(counts: readonly Tally[]): Tally {
  const sum = (of: (one: Tally) => number): number =>
    counts.reduce((total, one) => total + of(one), 0);
  return withShare({
    ...eachOf(PASS_VERDICTS, (verdict) => sum((one) => one[verdict])),
    minutes: sum(({ minutes }) => minutes),
    judgedBy: eachOf(VERDICT_SOURCES, (source) => sum(({ judgedBy }) => judgedBy[source])),
  });
}
