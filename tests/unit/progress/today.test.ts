// Today's plan: order, minutes and reasons.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { OwnedTempo } from '../../../app/core/progress/owned-tempo.ts';
import type { UnitStanding } from '../../../app/core/progress/standing.ts';
import { type Candidate, planToday, reasonsFor } from '../../../app/core/progress/today.ts';

const evidence = { passes: 20, weight: 20, judgedBy: { self: 20, ear: 0, pedal: 0, teacher: 0 } };
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
    nextDay: { kind: 'not-enough', evidence },
    forecast: { kind: 'not-enough', days: 2, needed: 5 },
    practiceDays: 4,
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

describe('planToday', () => {
  it('puts what is overdue first, then what cannot be met, then what is due soon', () => {
    const plan = planToday(
      [
        candidate('Verse', { outlook: { kind: 'on-course', days: 3, expected: expected(125) } }),
        candidate('Chorus', { outlook: { kind: 'out-of-reach', days: 9, expected: expected(96) } }),
        candidate('Bridge', { outlook: { kind: 'overdue', days: 2 } }),
        candidate('Intro', { daysSince: 5 }),
      ],
      60,
    );
    expect(names(plan.lines)).toEqual(['Bridge', 'Chorus', 'Verse', 'Intro']);
  });

  it('says with figures that a date cannot be met', () => {
    const [reason] = reasonsFor(
      candidate('Chorus', { outlook: { kind: 'out-of-reach', days: 9, expected: expected(96) } }),
    );
    expect(reason).toEqual({ kind: 'cannot-meet', days: 9, target: 120, expected: 96, high: 104 });
  });

  it('fills the minutes and leaves the rest for later, in the same order', () => {
    const plan = planToday(
      [
        candidate('A', { daysSince: 9 }),
        candidate('B', { daysSince: 8 }),
        candidate('C', { daysSince: 7 }),
      ],
      15,
    );
    expect(plan.lines.map((line) => line.minutes)).toEqual([10, 5]);
    expect(names(plan.later)).toEqual(['C']);
  });

  it('gives no line to what needs nothing today', () => {
    const plan = planToday(
      [
        candidate('Played', { daysSince: 0 }),
        candidate('Owned', { owned: number(124), daysSince: 3 }),
      ],
      60,
    );
    expect(plan.lines).toEqual([]);
    expect(names(plan.later)).toEqual(['Owned', 'Played']);
  });

  it('looks at an owned unit again after ten days', () => {
    const plan = planToday([candidate('Owned', { owned: number(124), daysSince: 12 })], 60);
    expect(plan.lines[0]).toMatchObject({ minutes: 4, reasons: [{ kind: 'keep', days: 12 }] });
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
    expect(reasons.map((reason) => reason.kind)).toEqual(['new', 'tight', 'minutes']);
  });
});
