// What a student is told that the teacher changed.
import { describe, expect, it } from 'vitest';
import { revise, type Assignment } from '../../../app/core/progress/assignment.ts';
import { newsOf } from '../../../app/core/progress/news.ts';
import { sheet } from '../exchange/desk/example.ts';

const set: Assignment = {
  ...sheet.assignments[0]!,
  by: 'Ms Tern',
  given: '2031-04-01T10:00:00Z',
  bars: { fingerprint: 'as-set', since: '2031-04-01T10:00:00Z' },
};
const told = (assignment: Assignment, today = '2031-04-20') =>
  newsOf([assignment], today).map(({ at, words }) => [at.slice(0, 10), ...words]);

describe('what was changed', () => {
  const faster = { ...set.terms, rules: { ...set.terms.rules, target: 100 } };
  const { target } = set.terms.rules;
  const revised = revise(set, faster, '2031-04-15T10:00:00Z');

  it('is nothing where nothing was', () => {
    expect(told(set)).toEqual([]);
  });
  it('is a new target, with what it was before', () => {
    expect(told(revised)).toEqual([['2031-04-15', `target ${target} → 100`]]);
  });
  it('is told step by step, newest first', () => {
    const again = revise(revised, { ...faster, due: '2031-05-08' }, '2031-04-16T10:00:00Z');
    const before = set.terms.due!;
    expect(told(again)).toEqual([
      ['2031-04-16', `due ${before} → 2031-05-08`],
      ['2031-04-15', `target ${target} → 100`],
    ]);
  });
  it('stands in one order on every machine where two things were changed at one moment', () => {
    const other = { ...revised, id: `${revised.id}-2` };
    const ids = (...all: readonly Assignment[]) =>
      newsOf(all, '2031-04-20').map(({ assignment }) => assignment.id);
    expect(ids(revised, other)).toEqual([other.id, revised.id]);
    expect(ids(other, revised)).toEqual([other.id, revised.id]);
  });
  it('is told for two weeks', () => {
    expect(told(revised, '2031-04-28')).toHaveLength(1);
    expect(told(revised, '2031-04-29')).toEqual([]);
  });
  it('is that it was taken back, and nothing else then', () => {
    expect(told({ ...revised, withdrawn: '2031-04-17T10:00:00Z' })).toEqual([
      ['2031-04-17', expect.stringContaining('taken back')],
    ]);
  });
  it('is other bars, and which passes count', () => {
    const bars = { fingerprint: 'anew', since: '2031-04-18T10:00:00Z' };
    const otherBars = [{ fingerprint: 'x', at: '2031-04-19T10:00:00Z', counts: true }];
    expect(told({ ...set, bars, otherBars })).toEqual([
      ['2031-04-19', 'your passes on other bars count'],
      ['2031-04-18', 'its bars were changed in the chart'],
    ]);
  });
  it('is not what the player did alone', () => {
    expect(newsOf([{ ...revised, by: '' }], '2031-04-20')).toEqual([]);
  });
});
