// Where a unit stands on a day, against target and date; and who needs help.
import { describe, expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import type { Assignment } from '../../../app/core/progress/assignment.ts';
import { compareNeeds, needsOf } from '../../../app/core/progress/help.ts';
import { standingOf } from '../../../app/core/progress/standing.ts';
import { dice, FIRST_DATE as FROM, plainPlayer, practise } from '../../bench/honest/players.ts';
import { passesOf } from '../log/passes.ts';

const dateAt = (day: number): string => dateOfDay(dayNumber(FROM) + day);
const growing = (gain: number, days = 14) =>
  practise(
    plainPlayer((day) => 70 * (1 + gain) ** day),
    { days, passesPerDay: 30 },
    dice(2),
  );

describe('standingOf', () => {
  it('knows nothing of a unit never played', () => {
    const standing = standingOf({ passes: [], beat: 'quarter', target: 120, asOf: FROM });
    expect(standing).toMatchObject({
      owned: { kind: 'not-enough' },
      forecast: { kind: 'not-enough', days: 0 },
      minutesThisWeek: 0,
    });
    expect(standing).not.toHaveProperty('daysSince');
    expect(standing).not.toHaveProperty('bestOfDay');
  });

  it('holds the cold first pass beside the best of the day', () => {
    const passes = passesOf(`${FROM}T09:00:00Z`, [-60, 60, 64, 68, -72]);
    const standing = standingOf({ passes, beat: 'quarter', target: 120, asOf: FROM });
    expect(standing.bestOfDay).toBe(68);
    expect(standing.nextDay.evidence.passes).toBe(1);
    expect(standing.owned.evidence.passes).toBe(4);
  });

  it('counts the week from Monday and days since on the calendar', () => {
    const passes = [
      ...passesOf(`${FROM}T09:00:00Z`, [60, 60]), // last week's Monday, 1 minute in all
      ...passesOf(`${dateAt(7)}T09:00:00Z`, [60, 60, 60, 60]), // this week's, 2 minutes
    ];
    const standing = standingOf({ passes, beat: 'quarter', target: 120, asOf: dateAt(9) });
    expect(standing).toMatchObject({ minutesThisWeek: 2, daysSince: 2 });
  });

  it.each([0.02, 0.03, 0.05])(
    'promises nothing to one who has gained evenly for a month: %f a day',
    (gain) => {
      const standing = standingOf({
        ...{ passes: growing(gain, 35), beat: 'quarter', target: 400, asOf: dateAt(34) },
        due: dateAt(60),
      });
      expect(standing.forecast.kind).toBe('open');
      expect(standing.outlook).toEqual({ kind: 'unknown', days: 26 });
    },
  );

  it.each([
    ['a date too near', 100, 16, 'out-of-reach'],
    ['a date with room', 85, 40, 'on-course'],
    ['a date gone by', 100, 10, 'overdue'],
    ['a target owned', 60, 60, 'reached'],
  ])('says how a due date stands: %s', (_, target, dueDay, kind) => {
    const standing = standingOf({
      passes: growing(0.012),
      beat: 'quarter',
      target,
      asOf: dateAt(13),
      due: dateAt(dueDay),
    });
    expect(standing.outlook?.kind).toBe(kind);
  });
});

describe('what is not begun', () => {
  /** Set on day 0. */
  const kindsOn = (day: number, due?: number) => {
    const assignment = {
      given: `${dateAt(0)}T10:00:00Z`,
      terms: due === undefined ? {} : { due: dateAt(due) },
    } as Assignment;
    const asked = { passes: [], beat: 'quarter', target: 120, asOf: dateAt(day) } as const;
    const standing = standingOf({ ...asked, ...(due !== undefined && { due: dateAt(due) }) });
    return needsOf([{ assignment, standing, other: [], accepted: [] }], dateAt(day)).map(
      ({ reason }) => reason.kind,
    );
  };

  it.each([
    ['on the day it is set', 0, 1, []],
    ['the day before the lesson', 1, 2, ['not-begun']],
    ['a week on, due in four weeks', 7, 28, []],
    ['half-way to its date', 14, 28, ['not-begun']],
    ['some days on, without a date', 6, undefined, []],
    ['a week on, without a date', 7, undefined, ['not-begun']],
    ['past its date', 29, 28, ['overdue']],
  ])('%s', (_, day, due, kinds) => {
    expect(kindsOn(day, due)).toEqual(kinds);
  });
});

describe('needsOf', () => {
  const assignment = { id: 'a' } as never;
  const placed = (gain: number, due?: number) => ({
    assignment,
    other: [],
    accepted: [],
    standing: standingOf({
      passes: growing(gain),
      beat: 'quarter',
      target: 120,
      asOf: dateAt(13),
      ...(due === undefined ? {} : { due: dateAt(due) }),
    }),
  });

  it('gives one reason each, dates before slips', () => {
    const needs = needsOf(
      [placed(-0.02), placed(0.02, 15), placed(0.02, 12), placed(0.02)],
      dateAt(13),
    );
    expect(needs.map((need) => need.reason.kind)).toEqual(['overdue', 'out-of-reach', 'slipping']);
  });

  it('puts the student with the weightiest need first', () => {
    const fine = needsOf([placed(0.02)], dateAt(13));
    const late = needsOf([placed(0.02, 12)], dateAt(13));
    const slipping = needsOf([placed(-0.02), placed(-0.02)], dateAt(13));
    expect([fine, slipping, late].sort(compareNeeds)).toEqual([late, slipping, fine]);
  });
});
