// Today's plan: order, minutes and reasons.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { OwnedTempo } from '../../../app/core/progress/owned-tempo.ts';
import type { UnitStanding } from '../../../app/core/progress/standing.ts';
import { reasonsFor } from '../../../app/core/progress/reasons.ts';
import { type Candidate, planToday, SHORTEST_TURN } from '../../../app/core/progress/today.ts';
import type { Assignment } from '../../../app/core/progress/assignment.ts';
import { sayWaiting } from '../../../app/core/progress/words.ts';
import { MONTHS, runMonth } from '../../bench/honest/today.ts';

const evidence = { passes: 20, judgedBy: { self: 20, ear: 0, pedal: 0, teacher: 0 } };
const number = (bpm: number): OwnedTempo => ({
  kind: 'number',
  bpm,
  low: bpm - 3,
  high: bpm + 3,
  evidence,
});

function candidate(name: string, wish: Partial<UnitStanding> = {}, more: Partial<Candidate> = {}) {
  const standing: UnitStanding = {
    beat: 'quarter',
    target: 120,
    owned: number(80),
    surer: { kind: 'another-day' },
    nextDay: { kind: 'not-enough', evidence },
    forecast: { kind: 'not-enough', days: 2, needed: 5 },
    minutesThisWeek: 0,
    daysSince: 0,
    ...wish,
  };
  return {
    chart: { id: 'c1', title: 'Harbour Lights' },
    unit: { key: `section:${name}`, name },
    standing,
    ...more,
  } satisfies Candidate;
}
const expected = (middle: number) => ({ low: middle - 8, middle, high: middle + 8 });
const names = (lines: readonly { candidate: Candidate }[]) =>
  lines.map((line) => line.candidate.unit.name);

it('says which change broke lately, from the second time on', () => {
  const breaks = { from: 'D', to: 'Em', times: 3 };
  expect(reasonsFor(candidate('Verse', {}, { breaks }))).toContainEqual({
    kind: 'breaks',
    ...breaks,
  });
  const once = candidate('Verse', {}, { breaks: { ...breaks, times: 1 } });
  expect(reasonsFor(once).map(({ kind }) => kind)).not.toContain('breaks');
});

it('says first that bars are others than were set, and does not call what was played on them unplayed', () => {
  const kinds = (passes: number, differs: boolean) =>
    reasonsFor(
      candidate('Verse', { daysSince: undefined }, { otherBars: { passes, differs } }),
    ).map(({ kind }) => kind);
  expect(kinds(4, false)).toEqual(['other-bars']);
  expect(kinds(0, true)).toEqual(['other-bars', 'new']);
});

describe('planToday', () => {
  it('puts what has waited a round first, then what is new, then what presses', () => {
    const plan = planToday(
      [
        candidate('Due', {
          outlook: { kind: 'on-course', days: 3, expected: expected(125) },
          daysSince: 1,
        }),
        candidate('New', { daysSince: undefined }),
        candidate('Waited', { daysSince: 9 }),
        candidate('Rested', { daysSince: 2 }),
      ],
      10,
    );
    expect(names(plan.lines)).toEqual(['Waited', 'New']);
    expect(names(plan.later)).toEqual(['Rested', 'Due']);
    expect(plan.round).toBe(2);
  });

  it('looks briefly at what was practised yesterday, after the turns and before them in the plan', () => {
    const plan = planToday(
      [
        candidate('Yesterday', { daysSince: 1, daysSinceTurn: 1 }),
        candidate('A', { daysSince: 2 }),
        candidate('B', { daysSince: 2 }),
        candidate('C', { daysSince: 2 }),
        candidate('D', { daysSince: 2 }),
      ],
      22,
    );
    expect(names(plan.lines)[0]).toBe('Yesterday');
    expect(plan.lines[0]).toMatchObject({ look: true, minutes: 2 });
    expect(
      plan.lines.slice(1).every(({ look, minutes }) => !look && minutes >= SHORTEST_TURN),
    ).toBe(true);
  });

  it('lets what was overdue for long come round like the others, and says so kindly', () => {
    const overdue = (days: number) =>
      candidate('Late', { daysSince: 1, outlook: { kind: 'overdue', days } });
    const [first] = reasonsFor(overdue(12));
    expect(first).toMatchObject({ kind: 'overdue', settled: true });
    /** Does it take a turn from one that has rested for a day? */
    const presses = (days: number) => {
      const rested = candidate('A', { daysSince: 1 });
      const { lines } = planToday([rested, overdue(days), candidate('B', { daysSince: 1 })], 8);
      return names(lines.filter(({ look }) => !look)).includes('Late');
    };
    const others = ['A', 'B', 'C', 'D'].map((name) => candidate(name, { daysSince: 2 }));
    expect(names(planToday([overdue(3), ...others], 15).lines)).toEqual(['A', 'B', 'C']);
    expect(presses(3)).toBe(true);
    expect(presses(12)).toBe(false);
  });

  const due = (name: string, days: number, daysSince?: number) =>
    candidate(name, { outlook: { kind: 'unknown', days }, daysSince });
  const waits = (daysSince: number) => [1, 2, 3, 4].map((n) => candidate(`W${n}`, { daysSince }));

  it('gives what is due tomorrow its turn, whatever else has waited or is new', () => {
    const fresh = [1, 2, 3, 4].map((n) => candidate(`New ${n}`, { daysSince: undefined }));
    const plan = planToday([...fresh, ...waits(30), due('Tomorrow', 1, 1)], 10);
    expect(names(plan.lines)).toEqual(['Tomorrow', 'W1']);
    expect(plan.waiting).toEqual([]);
  });

  it('puts turns with a date within a week first, by their dates, before looks', () => {
    const look = candidate('Yesterday', { owned: number(124), daysSince: 9, lastGap: 2 });
    const late = candidate('Late', { daysSince: 2, outlook: { kind: 'overdue', days: 2 } });
    const plan = planToday([look, ...waits(9), due('In 5', 5, 3), due('In 3', 3), late], 60);
    expect(names(plan.lines).slice(0, 5)).toEqual(['Late', 'In 3', 'In 5', 'Yesterday', 'W1']);
  });

  it('says what is due soon and has no turn, and why', () => {
    const plan = planToday([...waits(9), due('In 3', 3, 1), due('In 9', 9, 1)], 10);
    expect(names(plan.lines)).toEqual(['W1', 'W2']);
    expect(names(plan.waiting)).toEqual(['In 3']);
    expect(sayWaiting(plan)).toBe(
      'In 3 is due in 3 days and has no turn today: others are due sooner, have waited longer or are new. Give yourself more minutes, or bring it in below.',
    );
    expect(sayWaiting(planToday([due('In 3', 3, 1)], 10))).toBeUndefined();
  });

  it('keeps the order in which things of one date were set', () => {
    const assignment = { terms: {} } as Assignment;
    const set = ['Verse', 'Chorus', 'Bridge'].map((name) => ({ ...due(name, 12), assignment }));
    expect(names(planToday(set, 60).lines)).toEqual(['Verse', 'Chorus', 'Bridge']);
  });

  it('never starts with what is due later while something due sooner has its turn, and forgets no date', () => {
    const one = fc.record({
      daysSince: fc.option(fc.integer({ min: 0, max: 30 }), { nil: undefined }),
      days: fc.option(fc.integer({ min: -12, max: 20 }), { nil: undefined }),
    });
    const outlook = (days: number) =>
      days < 0 ? ({ kind: 'overdue', days: -days } as const) : ({ kind: 'unknown', days } as const);
    const minutes = fc.integer({ min: 5, max: 90 });
    fc.assert(
      fc.property(fc.array(one, { maxLength: 14 }), minutes, (all, time) => {
        const found = all.map(({ daysSince, days }, i) =>
          candidate(`U${i}`, { daysSince, ...(days !== undefined && { outlook: outlook(days) }) }),
        );
        const plan = planToday(found, time);
        const soon = ({ standing }: Candidate): number => {
          const days = all[found.findIndex((one) => one.standing === standing)]!.days;
          return days !== undefined && days >= -7 && days <= 7 ? days : Infinity;
        };
        const turns = plan.lines.filter(({ look }) => !look).map((line) => soon(line.candidate));
        expect(turns).toEqual(turns.toSorted((a, b) => a - b));
        const told = new Set([...plan.lines, ...plan.waiting].map((line) => line.candidate));
        const open = found.filter((one) => one.standing.daysSince !== 0 && soon(one) < Infinity);
        expect(open.filter((one) => !told.has(one))).toEqual([]);
        const tomorrow = open.filter(
          (one) => soon(one) === 1 || (soon(one) === 0 && one.standing.daysSince !== 1),
        );
        const turned = tomorrow.filter((one) =>
          plan.lines.some(({ candidate: c, look }) => c === one && !look),
        );
        const room = Math.floor(time / SHORTEST_TURN);
        expect(turned).toHaveLength(Math.min(room, tomorrow.length));
      }),
    );
  });

  it('says with figures that a date cannot be met', () => {
    const [reason] = reasonsFor(
      candidate('Chorus', { outlook: { kind: 'out-of-reach', days: 9, expected: expected(96) } }),
    );
    expect(reason).toEqual({ kind: 'cannot-meet', days: 9, target: 120, expected: 96, high: 104 });
  });

  it('fills the minutes and leaves the rest for later', () => {
    const plan = planToday(
      [
        candidate('A', { daysSince: 9 }),
        candidate('B', { daysSince: 8 }),
        candidate('C', { daysSince: 7 }),
      ],
      14,
    );
    expect(plan.lines.map((line) => line.minutes)).toEqual([7, 7]);
    expect(names(plan.later)).toEqual(['C']);
  });

  it('gives no line to what needs nothing today', () => {
    const plan = planToday(
      [
        candidate('Played', { daysSince: 0 }),
        candidate('Owned', { owned: number(124), daysSince: 3, lastGap: 2 }),
      ],
      60,
    );
    expect(plan.lines).toEqual([]);
    expect(names(plan.later)).toEqual(['Owned', 'Played']);
  });

  it('looks at an owned unit again after twice the days it was last left alone', () => {
    const kept = (daysSince: number) =>
      planToday([candidate('Owned', { owned: number(124), daysSince, lastGap: 6 })], 60);
    expect(kept(11).lines).toEqual([]);
    expect(kept(12).lines[0]).toMatchObject({
      look: true,
      reasons: [{ kind: 'keep', days: 12, again: 12 }],
    });
  });

  it('never plans more minutes than there are, and every line has a reason', () => {
    const days = fc.integer({ min: 0, max: 40 });
    fc.assert(
      fc.property(
        fc.array(days, { maxLength: 12 }),
        fc.integer({ min: 0, max: 90 }),
        (all, minutes) => {
          const plan = planToday(
            all.map((daysSince, i) => candidate(`U${i}`, { daysSince })),
            minutes,
          );
          const used = plan.lines.reduce((sum, line) => sum + line.minutes, 0);
          expect(used).toBeLessThanOrEqual(minutes);
          expect(plan.lines.length + plan.later.length).toBe(all.length);
          for (const line of [...plan.lines, ...plan.later]) expect(line.reasons).not.toEqual([]);
        },
      ),
    );
  });
});

describe('reasonsFor', () => {
  it('names a tight change, a new unit and missing minutes, weightiest first', () => {
    const assignment = {
      id: 'a',
      chart: { id: 'c1', title: 'Harbour Lights' },
      unit: { ref: { kind: 'form' }, key: 'form', name: 'Whole form' },
      terms: { rules: {} as never, minutesPerWeek: 40, note: '' },
      given: '2031-04-01T09:00:00Z',
      by: '',
      earlier: [],
    } as const;
    const reasons = reasonsFor(
      {
        ...candidate('Verse'),
        standing: { ...candidate('Verse', { minutesThisWeek: 20 }).standing, daysSince: undefined },
        assignment,
        hardest: { from: 'C', to: 'F', hardness: 9 },
      },
      9,
    );
    expect(reasons.map((reason) => reason.kind)).toEqual(['new', 'minutes', 'tight']);
  });
});

describe('a month of plans', () => {
  it.each(MONTHS)('$units units, $minutes minutes, days off $daysOff, dates $dates', (month) => {
    const { longestWait, mostWait, lastNew, mostNew, overMinutes } = runMonth(month, 20310106);
    expect(longestWait).toBeLessThanOrEqual(mostWait);
    expect(lastNew).toBeLessThanOrEqual(mostNew);
    expect(overMinutes).toBe(0);
  });
});
