// Two runs of the bench side by side: only what differs by more than its own spread is called better or worse.
import { describe, expect, it } from 'vitest';
import { compare, type SavedRow, tableOf } from '../../bench/compare.ts';

const row = (more: Partial<SavedRow> & { readonly value: number | null }): SavedRow => ({
  ...{ name: 'save', unit: 'ms', goal: '<= 5' },
  ...more,
});
const changeOf = (before: SavedRow, after: SavedRow) => compare([before], [after])[0]!.change;

describe('a row of two runs', () => {
  it.each([
    ['faster by more than the spread of either', [4, 4.2, 4.1], 3, 'better'],
    ['slower by more', [4, 4.2, 4.1], 5, 'worse'],
    ['slower within it', [3.8, 4.4, 4.1], 4.5, 'same'],
  ] as const)('%s', (_, values, value, change) => {
    expect(changeOf(row({ value: 4.1, values }), row({ value }))).toBe(change);
  });

  it('takes the wider spread of both runs', () => {
    const before = row({ value: 4, values: [4, 4.1] });
    expect(changeOf(before, row({ value: 4.5, values: [4.1, 5] }))).toBe('same');
  });

  it('goes by the goal: more is better where the goal is a floor; without one less time is better', () => {
    const floor = { goal: '>= 50', values: [60, 61] };
    expect(changeOf(row({ value: 60, ...floor }), row({ value: 80, ...floor }))).toBe('better');
    expect(changeOf(row({ value: 60, ...floor }), row({ value: 40, ...floor }))).toBe('worse');
    const none = { goal: null, values: [60, 61] };
    expect(changeOf(row({ value: 60, ...none }), row({ value: 40, ...none }))).toBe('better');
    const share = { ...none, unit: 'share' };
    expect(changeOf(row({ value: 60, ...share }), row({ value: 40, ...share }))).toBe('other');
  });

  it('calls nothing better or worse by one figure each, and equal ones the same', () => {
    expect(changeOf(row({ value: 4 }), row({ value: 3 }))).toBe('unknown');
    expect(changeOf(row({ value: 4 }), row({ value: 4 }))).toBe('same');
  });

  it('names rows that are new, gone or could not be measured', () => {
    expect(changeOf(row({ value: 4 }), row({ value: null }))).toBe('not measured');
    const rows = compare([row({ value: 1, name: 'old' })], [row({ value: 2 })]);
    expect(rows.map(({ name, change }) => [name, change])).toEqual([
      ['save', 'new'],
      ['old', 'gone'],
    ]);
  });
});

it('is a table with a line for each row', () => {
  const values = [4, 4.2];
  expect(tableOf(compare([row({ value: 4.1, values })], [row({ value: 2.123456 })]))).toEqual([
    ['row', 'before', 'after', '±', 'unit', ''],
    ['save', '4.1', '2.123', '0.2', 'ms', 'better than noise'],
  ]);
});
