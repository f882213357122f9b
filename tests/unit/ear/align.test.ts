// Strokes that were heard are paired with strokes that were due as a listener would pair them.
import { describe, expect, it } from 'vitest';
import { pairStrokes } from '../../../app/core/ear/align.ts';

const heard = (...times: number[]) => times.map((at) => ({ at, strength: 3 }));

describe('pairStrokes', () => {
  it.each([
    ['each its own', [0, 0.5, 1], heard(0.02, 0.49, 1.03), [0, 1, 2]],
    ['one left out', [0, 0.5, 1], heard(0.02, 1.03), [0, null, 1]],
    ['one too many', [0, 0.5, 1], heard(0.01, 0.25, 0.5, 1), [0, 2, 3]],
    ['a late one keeps its place', [0, 0.5], heard(0.09, 0.5), [0, 1]],
    ['nothing heard', [0, 0.5], heard(), [null, null]],
  ])('%s', (_, due, onsets, wanted) => {
    expect(pairStrokes(due, onsets)).toEqual(wanted);
  });

  it('takes a faint onset where a stroke is due, and passes over it elsewhere', () => {
    const faint = [
      { at: 0.01, strength: 0.6 },
      { at: 0.25, strength: 0.6 },
    ];
    expect(pairStrokes([0, 0.5], faint)).toEqual([0, null]);
  });
});
