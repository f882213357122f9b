// Changing and taking back what several students have set.
import { describe, expect, it } from 'vitest';
import { checkRules } from '../../../app/core/ladder/rungs.ts';
import { active, assign, type Student } from '../../../app/core/progress/assignment.ts';
import {
  changeFor,
  thingKey,
  thingsSet,
  withdrawFor,
} from '../../../app/core/progress/change-many.ts';
import { chart, emptyDesk, newId, units } from '../exchange/desk/example.ts';

const NOW = '2031-04-10T10:00:00Z';
const give = (id: string, count: number, due?: string): Student => ({
  ...emptyDesk,
  id,
  assignments: assign(chart, units.slice(0, count), {
    at: '2031-04-01T10:00:00Z',
    by: 'Ms Tern',
    newId,
    ...(due === undefined ? {} : { due }),
  }),
});
const ada = give('ada', 2, '2031-04-20');
const ben = give('ben', 1);
const keyOf = (unit: (typeof units)[number]) => thingKey({ chart, unit });
const first = new Set([keyOf(units[0]!)]);
const terms = (student: Student) => student.assignments.map((one) => one.terms);

describe('what is set for several', () => {
  it('is listed once, what most have first', () => {
    expect(thingsSet([ada, ben]).map(({ unit, who }) => [unit.key, ...who])).toEqual([
      [units[0]!.key, 'ada', 'ben'],
      [units[1]!.key, 'ada'],
    ]);
  });
  it('no longer counts whoever had it taken back', () => {
    const without = withdrawFor(ada, first, NOW);
    expect(thingsSet([without]).map(({ unit }) => unit.key)).toEqual([units[1]!.key]);
    expect(without.assignments).toHaveLength(2);
    expect(active(without.assignments)).toHaveLength(1);
  });
});

describe('a change', () => {
  const how = { now: NOW, charts: [chart] };
  it.each([
    ['on a day', { kind: 'on', date: '2031-05-01' }, ['2031-05-01', '2031-05-01']],
    ['a week later', { kind: 'later', days: 7 }, ['2031-04-27', undefined]],
    ['never', { kind: 'none' }, [undefined, undefined]],
  ] as const)('of the date: %s', (_, due, expected) => {
    const [a, b] = [ada, ben].map((one) => changeFor(one, first, { due }, how));
    expect([terms(a!)[0]!.due, terms(b!)[0]!.due]).toEqual(expected);
    expect(terms(a!)[1]!.due).toBe('2031-04-20');
  });
  it('of the tempo is a share of the finished one, with a ladder that can be climbed', () => {
    const [changed] = changeFor(ada, first, { percent: 50 }, how).assignments;
    expect(changed!.terms.rules.target).toBe(Math.round(units[0]!.tempo.bpm / 2));
    expect(checkRules(changed!.terms.rules)).toEqual([]);
  });
  it('of the tempo stays away where the chart is not here', () => {
    expect(changeFor(ada, first, { percent: 50 }, { now: NOW, charts: [] })).toEqual(ada);
  });
  it('keeps what held before, and leaves what stays the same', () => {
    const once = changeFor(ada, first, { note: 'Lightly.' }, how);
    expect(once.assignments[0]!.earlier).toEqual([{ until: NOW, terms: terms(ada)[0] }]);
    expect(once.assignments[1]).toBe(ada.assignments[1]);
    expect(changeFor(once, first, { note: 'Lightly.' }, how)).toEqual(once);
  });
});
