// From which day on a room shows the log.
import { expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../../../../app/core/log/days.ts';
import { today } from '../../../../../renderer/page/clock.ts';
import { LAST_YEAR, sinceOf } from '../../../../../renderer/state/log/filter-choices.ts';

it.each([
  ['the last day of practice', '2020-02-02', '2020-02-02'],
  ['today, where a clock was years ahead', '9999-12-30', today()],
])('the last year ends with %s', (_, lastPlayed, day) => {
  const units = [{ lastPlayed: `${lastPlayed}T12:00:00Z` }] as unknown as Parameters<
    typeof sinceOf
  >[1];
  const days = dayNumber(day) - dayNumber(sinceOf(LAST_YEAR, units)!);
  expect(dateOfDay(days)).toBe(dateOfDay(366));
});
