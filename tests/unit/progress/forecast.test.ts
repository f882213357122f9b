// Forecast: a date with an interval, a plateau, a slip, or nothing to say yet.
import { describe, expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import { paceOf, suggest } from '../../../app/core/progress/forecast.ts';
import { heardByDay } from '../../../app/core/progress/heard-by-day.ts';
import { forecast } from '../../support/forecast.ts';
import type { ChangeHeard, PassRecord } from '../../../app/core/model/pass.ts';
import {
  dateOn,
  dice,
  every as everyNth,
  exponential,
  FIRST_DATE as FROM,
  plainPlayer,
  practise,
} from '../../bench/honest/players.ts';
import { pass, passesOf } from '../log/passes.ts';

const dateAt = (day: number): string => dateOfDay(dayNumber(FROM) + day);

/** A player whose owned tempo on practice day n is `owned(n)`, seen on the last of `days`. */
function ask(owned: (day: number) => number, days: number, target: number, every = 1) {
  const calendar = everyNth(every);
  const passes = practise(plainPlayer(owned), { days, passesPerDay: 30, calendar }, dice(1));
  const asOf = dateOn(calendar, days - 1);
  return forecast({ passes, beat: 'quarter', target, asOf });
}

describe('forecast', () => {
  it('says nothing before there are five practice days', () => {
    expect(ask(() => 80, 3, 120)).toEqual({ kind: 'not-enough', days: 3, needed: 5 });
  });

  it('says that a target is reached when it is owned', () => {
    expect(ask(() => 100, 6, 80)).toEqual({ kind: 'reached' });
  });

  /** A learner near enough to the target that the log carries a date. */
  const near = (day: number): number => 2 ** exponential(70, 0.6, 15)(day);

  it('expects a learner to arrive between two dates', () => {
    const answer = ask(near, 14, near(21)); // reached on practice day 21
    if (answer.kind !== 'date') throw new Error(answer.kind);
    expect(answer.earliest <= answer.date && answer.date <= answer.latest).toBe(true);
    expect(answer.earliest <= dateAt(21) && dateAt(21) <= answer.latest).toBe(true);
    expect(answer.pace.daysPerWeek).toBeCloseTo(7, 5);
  });

  it('puts the same practice days further apart when practice is rarer', () => {
    const daily = ask(near, 14, near(18));
    const everySecondDay = ask(near, 14, near(18), 2);
    if (daily.kind !== 'date' || everySecondDay.kind !== 'date') throw new Error('no date');
    const wait = (date: string, every: number) => dayNumber(date) - dayNumber(dateAt(13 * every));
    expect(wait(everySecondDay.latest, 2)).toBeGreaterThan(1.5 * wait(daily.latest, 1));
  });

  it('names no day for a target far above what was gained, but the gain and a small goal', () => {
    const answer = ask(near, 14, 200);
    if (answer.kind !== 'open') throw new Error(answer.kind);
    expect(answer.to).toBeGreaterThan(answer.from * 1.1);
    expect(answer.next).toBeGreaterThan(answer.to);
    expect(answer.next).toBeLessThan(answer.to * 1.06);
  });

  it('does not take days of clean passes for a ceiling', () => {
    // Ten days at 60 to 70 bpm, all clean, by a player nobody ever asked for more.
    const passes = Array.from({ length: 10 }, (_, day) =>
      passesOf(`${dateAt(day)}T09:00:00Z`, [60, 60, 62, 64, 66, 68, 70, 70]),
    ).flat();
    const answer = forecast({ passes, beat: 'quarter', target: 120, asOf: dateAt(9) });
    expect(answer).toEqual({ kind: 'untested', days: 8 });
  });

  it('calls a drop a slip and makes one suggestion', () => {
    const answer = ask((day) => (day < 5 ? 90 : 76), 10, 120);
    expect(answer).toMatchObject({ kind: 'slipping', suggestion: { kind: 'leave-a-day' } });
  });

  it('calls a long level stretch a plateau', () => {
    const answer = ask(() => 90, 16, 120);
    if (answer.kind !== 'plateau') throw new Error(answer.kind);
    expect(answer.level / 90).toBeCloseTo(1, 1);
  });
});

describe('paceOf', () => {
  const at = (date: string) => ({ date });

  it('counts practice days a week over the last four weeks', () => {
    const passes = [0, 7, 14, 21, 27].map((day) => at(dateAt(day)));
    expect(paceOf(passes, dateAt(27)).daysPerWeek).toBeCloseTo(5 / 4, 10);
  });

  it('leaves a break out', () => {
    const passes = [0, 1, 2, 3, 4, 17, 18, 19].map((day) => at(dateAt(day)));
    expect(paceOf(passes, dateAt(19)).daysPerWeek).toBeCloseTo(7, 10);
  });

  it('takes a first week as a whole one', () => {
    expect(paceOf([at(FROM)], FROM).daysPerWeek).toBeCloseTo(1, 10);
  });

  it('is 0 without passes', () => expect(paceOf([], FROM).daysPerWeek).toBe(0));
});

describe('suggest', () => {
  const suggestOf = (passes: readonly PassRecord[], asOf: string) =>
    suggest(heardByDay(passes, asOf), asOf);
  const late: ChangeHeard = {
    bar: 0,
    change: 0,
    from: 'C',
    to: 'F',
    timing: 'late',
    chord: 'right',
    confidence: 1,
  };
  const on = (day: number, wish: Partial<PassRecord> = {}) =>
    pass(`${dateAt(day)}T10:00:00Z`, wish);

  it('points at the change that breaks most', () => {
    const passes = [on(0, { changes: Array.from({ length: 10 }, () => late) })];
    expect(suggestOf(passes, dateAt(1))).toEqual({ kind: 'drill-change', from: 'C', to: 'F' });
    // Two weeks later nothing is left of it.
    expect(suggestOf(passes, dateAt(14)).kind).toBe('smaller-step');
  });

  it('suggests a day off after six days on end', () => {
    expect(
      suggestOf(
        [0, 1, 2, 3, 4, 5].map((day) => on(day)),
        dateAt(5),
      ).kind,
    ).toBe('leave-a-day');
  });

  it('suggests a smaller step otherwise', () => {
    expect(
      suggestOf(
        [0, 1, 3, 4, 5].map((day) => on(day)),
        dateAt(5),
      ).kind,
    ).toBe('smaller-step');
  });
});
