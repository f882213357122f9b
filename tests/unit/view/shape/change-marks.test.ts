// Which step of the path the stage is at, and which fingers it marks.
import { describe, expect, test } from 'vitest';
import { USUAL_NECK } from '../../../../app/core/fretboard/geometry.ts';
import { bestPath } from '../../../../app/core/fretboard/path.ts';
import { STANDARD } from '../../../../app/core/harmony/tunings.ts';
import { handsAt, stepAt } from '../../../../renderer/parts/shape/change-marks.ts';
import { chordOf } from '../../../../app/core/harmony/read.ts';

const { steps } = bestPath(
  ['C', 'Am', 'N.C.', 'F'].map((symbol, bar) => ({ chord: chordOf(symbol), bar, at: bar * 2 })),
  STANDARD,
);

describe('the step that sounds', () => {
  test('is none before the first change, then counts changes', () => {
    expect(stepAt(steps, {}, 0, 0)).toBe(-1);
    expect(stepAt(steps, {}, 0, 1)).toBe(0);
    expect(stepAt(steps, {}, 0, 3)).toBe(2);
  });

  test('a chord held over from before is the first step', () =>
    expect(stepAt(steps, { opening: chordOf('C') }, 0, 0)).toBe(0));

  test('a lap taken up at bar 2 starts with the step before its first change', () => {
    expect(stepAt(steps, { opening: chordOf('Am') }, 2, 0)).toBe(1);
    expect(stepAt(steps, { opening: chordOf('Am') }, 2, 1)).toBe(2);
  });

  test('a lap taken up after the last change stays at the last step', () =>
    expect(stepAt(steps, { opening: chordOf('F') }, 9, 0)).toBe(3));
});

test('C to Am: only the third finger is marked, in both shapes', () => {
  const hands = handsAt(steps, 0, USUAL_NECK);
  expect(hands.now).toMatchObject({ step: { chord: { symbol: 'C' } } });
  expect(hands.next).toMatchObject({ step: { chord: { symbol: 'Am' } } });
  expect([hands.leaving, hands.coming]).toEqual([[3], [3]]);
});

test('beside silence nothing is marked; before the first chord it is what comes', () => {
  expect(handsAt(steps, 1, USUAL_NECK)).toMatchObject({ leaving: [], coming: [] });
  expect(handsAt(steps, -1, USUAL_NECK)).toMatchObject({
    now: undefined,
    next: { step: { chord: { symbol: 'C' } } },
  });
});
