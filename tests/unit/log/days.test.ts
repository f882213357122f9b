// Practice days on the player's own calendar.
import { describe, expect, it } from 'vitest';
import {
  dateOfDay,
  dayNumber,
  daysBetween,
  localDate,
  practiceDays,
  weekOf,
} from '../../../app/core/log/days.ts';
import { practiceWeeks } from '../../../app/core/log/weeks.ts';
import { tally } from '../../../app/core/log/tally.ts';
import { pass } from './passes.ts';

describe('local dates', () => {
  it('puts a pass on the date its own clock showed', () => {
    expect(localDate('2031-04-05T23:30:00-05:00')).toBe('2031-04-05'); // already the 6th in UTC
    expect(localDate('2031-04-06T00:30:00+13:00')).toBe('2031-04-06'); // still the 5th in UTC
  });

  it('counts one day across a summer-time jump of 23 or 25 hours', () => {
    // Central Europe 2031: clocks go forward on 30 March, back on 26 October (last Sundays).
    expect(daysBetween('2031-03-29', '2031-03-31')).toBe(2);
    const days = practiceDays([
      pass('2031-10-25T22:30:00+02:00'),
      pass('2031-10-26T02:30:00+02:00'),
      pass('2031-10-26T02:30:00+01:00'), // the same wall time again, an hour later
    ]);
    expect(days.map((d) => [d.date, d.passes])).toEqual([
      ['2031-10-25', 1],
      ['2031-10-26', 2],
    ]);
  });

  it('stay within the years that have four digits', () => {
    expect(dateOfDay(dayNumber('9999-12-30') + 400)).toBe('9999-12-30');
    expect(dateOfDay(dayNumber('0000-01-02') - 28)).toBe('0000-01-02');
  });

  it('starts weeks on Monday, also before 1970', () => {
    // 2024-02-29 was a Thursday (ISO 8601 week 2024-W09); 1969-12-31 a Wednesday.
    expect(weekOf('2024-02-29')).toBe('2024-02-26');
    expect(weekOf('2024-03-03')).toBe('2024-02-26');
    expect(weekOf('2024-03-04')).toBe('2024-03-04');
    expect(weekOf('1969-12-31')).toBe('1969-12-29');
  });
});

describe('practiceWeeks', () => {
  it('shows the empty week between two practised ones', () => {
    const weeks = practiceWeeks(
      [
        pass('2031-04-01T09:00:00Z'), // Tuesday
        pass('2031-04-03T09:00:00Z', { verdict: 'missed' }),
        pass('2031-04-14T09:00:00Z'), // Monday, two weeks on
      ].map((one) => ({ date: localDate(one.at), ...tally([one]) })),
    );
    expect(weeks).toEqual([
      { from: '2031-03-31', days: 2, passes: 2, minutes: 1, shareClean: 0.5 },
      { from: '2031-04-07', days: 0, passes: 0, minutes: 0 },
      { from: '2031-04-14', days: 1, passes: 1, minutes: 0.5, shareClean: 1 },
    ]);
  });

  it('has no weeks without passes', () => expect(practiceWeeks([])).toEqual([]));
});
