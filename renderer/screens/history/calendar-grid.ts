// A year of days as a grid: a column per week from Monday to Sunday, ending with the week of the last day.
import { dateOfDay, dayNumber, type PracticeDay, weekOf } from '../../../app/core/log/days.ts';
import type { IsoDate } from '../../../app/core/base/units.ts';

export interface GridDay {
  readonly date: IsoDate;
  readonly column: number;
  /** 0 is Monday. */
  readonly row: number;
  /** Side of its square over the side of its cell: the area grows with the minutes. */
  readonly size: number;
  readonly day?: PracticeDay;
}

/** The square fills its cell from this many minutes on (our choice). */
const FULL_MINUTES = 40;
const LEAST_SIZE = 0.3;
export const WEEKS = 53;

/** Every day of the last weeks up to `until`, a column a week, practised or not. */
export function calendarGrid(days: readonly PracticeDay[], until: IsoDate): GridDay[] {
  const practised = new Map(days.map((day) => [day.date, day]));
  const first = dayNumber(weekOf(until)) - 7 * (WEEKS - 1);
  const count = dayNumber(until) - first + 1;
  return Array.from({ length: count }, (_, i) => {
    const date = dateOfDay(first + i);
    const day = practised.get(date);
    const place = { date, column: Math.floor(i / 7), row: i % 7 };
    return day ? { ...place, size: sizeOf(day.minutes), day } : { ...place, size: 0 };
  });
}

const sizeOf = (minutes: number): number =>
  Math.max(LEAST_SIZE, Math.sqrt(Math.min(1, minutes / FULL_MINUTES)));
