// The drawn ladder: rungs inside the box, evenly spaced, labels that never touch.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ladderGeometry, rungPosition } from '../../../renderer/parts/ladder/geometry.ts';

const style = { labelGap: 18, topRoom: 34, from: 60, to: 180 };

test('ten rungs in a tall box: all labelled, the first at the bottom', () => {
  const { rungs } = ladderGeometry({ width: 280, height: 420 }, 10, [0, 9], style);
  expect(rungs.every((r) => r.labelled)).toBe(true);
  expect(rungs[0]?.y).toBeGreaterThan(rungs[9]?.y ?? Infinity);
});

test('a single rung stands in the middle', () => {
  const { rungs } = ladderGeometry({ width: 280, height: 400 }, 1, [0], style);
  expect(rungs).toHaveLength(1);
  expect(rungs[0]?.y).toBeGreaterThan(150);
  expect(rungs[0]?.y).toBeLessThan(250);
});

test('whatever the box and the number of rungs, rungs lie between the rails and labels keep their distance', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 200 }),
      fc.integer({ min: 160, max: 1200 }),
      fc.nat(),
      (count, height, seed) => {
        const keep = [seed % count, count - 1, 0];
        const { rungs } = ladderGeometry({ width: 280, height }, count, keep, style);
        for (const r of rungs) {
          expect(r.y).toBeGreaterThan(0);
          expect(r.y).toBeLessThan(height);
          expect(r.left).toBeGreaterThan(style.from);
          expect(r.right).toBeLessThan(style.to);
          expect(r.right).toBeGreaterThan(r.left);
        }
        const labels = rungs.filter((r) => r.labelled).map((r) => r.y);
        for (let i = 1; i < labels.length; i++) {
          expect((labels[i - 1] ?? 0) - (labels[i] ?? 0)).toBeGreaterThanOrEqual(
            style.labelGap - 1e-6,
          );
        }
        expect(rungs[seed % count]?.labelled).toBe(true);
      },
    ),
  );
});

test('a tempo between two rungs lies between them; beyond the ends it stays on the ladder', () => {
  expect(rungPosition([60, 70, 80], 65)).toBe(0.5);
  expect(rungPosition([60, 70, 80], 70)).toBe(1);
  expect(rungPosition([60, 70, 80], 20)).toBe(0);
  expect(rungPosition([60, 70, 80], 200)).toBe(2);
});
