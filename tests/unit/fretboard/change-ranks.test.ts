// The cost of a change agrees with the order in which teachers find changes hard.
import { describe, expect, test } from 'vitest';
import { changeBetween } from '../../../app/core/fretboard/change.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { bestPath } from '../../../app/core/fretboard/path.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { RANKED, SECOND, UNSEEN } from './change-ranks.ts';

/** Between the shapes and fingers that the program shows for the two chords. */
function cost(from: string, to: string): number {
  const row = [from, to].map((symbol, i) => ({ chord: chordOf(symbol), bar: i, at: i, gap: 1 }));
  const [a, b] = bestPath(row, STANDARD).steps;
  if (a?.kind !== 'shape' || b?.kind !== 'shape') throw new Error(`no shapes for ${from}, ${to}`);
  return changeBetween(a.shape, b.shape, USUAL_NECK).cost;
}

/** Ranks from 0, ties shared. */
function ranks(values: readonly number[]): number[] {
  const sorted = values.toSorted((a, b) => a - b);
  return values.map((v) => (sorted.indexOf(v) + sorted.lastIndexOf(v)) / 2);
}

/** Spearman's rank correlation: Pearson's of the ranks. */
function rankCorrelation(a: readonly number[], b: readonly number[]): number {
  const [x, y] = [ranks(a), ranks(b)];
  const mean = (v: readonly number[]) => v.reduce((sum, n) => sum + n, 0) / v.length;
  const [mx, my] = [mean(x), mean(y)];
  const sum = (f: (i: number) => number) => x.reduce((total, _, i) => total + f(i), 0);
  return (
    sum((i) => (x[i]! - mx) * (y[i]! - my)) /
    Math.sqrt(sum((i) => (x[i]! - mx) ** 2) * sum((i) => (y[i]! - my) ** 2))
  );
}

const agreement = (pairs: typeof RANKED): number =>
  rankCorrelation(
    pairs.map(([from, to]) => Math.round(cost(from, to) * 1e6) / 1e6),
    pairs.map(([, , rank]) => rank),
  );

test('forty changes, with which the weights were set', () => {
  expect(RANKED).toHaveLength(40);
  expect(agreement(RANKED)).toBeGreaterThanOrEqual(0.9);
});

test('twenty more, among weights that serve the forty alike', () => {
  expect(SECOND).toHaveLength(20);
  expect(agreement(SECOND)).toBeGreaterThanOrEqual(0.9);
});

test('twenty-four that nothing was set or chosen by', () => {
  expect(UNSEEN).toHaveLength(24);
  // 0.946 when it was looked at.
  expect(agreement(UNSEEN)).toBeGreaterThanOrEqual(0.9);
});

describe('what teachers agree about', () => {
  test('C to F is harder than C to G, and that harder than G to Em', () => {
    expect(cost('C', 'F')).toBeGreaterThan(cost('C', 'G'));
    expect(cost('C', 'G')).toBeGreaterThan(cost('G', 'Em'));
  });
  test('a barre is easier to leave than to make', () => {
    for (const [open, barred] of [['C', 'F'], ['D', 'Bm'], ['E', 'F#m']] as const) expect(cost(barred, open)).toBeLessThan(cost(open, barred)); // prettier-ignore
  });
  test('the same shape moved is cheap', () => {
    expect(cost('F', 'F#')).toBeLessThan(cost('C', 'G'));
    expect(cost('F', 'Bb')).toBeLessThan(cost('C', 'F'));
    expect(cost('E', 'Am')).toBeLessThan(cost('E', 'D'));
  });
  test('one finger lifted or moved is cheap', () => {
    expect(cost('Em', 'Em7')).toBeLessThan(0.5);
    expect(cost('C', 'Am')).toBeLessThan(cost('E', 'Am'));
  });
});
