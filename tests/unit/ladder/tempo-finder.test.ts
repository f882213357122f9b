// The search for a start tempo: its steps, what a slip does to it, and where it ends by seeded simulation.
import { describe, expect, it } from 'vitest';
import {
  beginFinder,
  type FinderState,
  judgeFinder,
  USUAL_FINDER,
} from '../../../app/core/ladder/tempo-finder.ts';
import { FINDER_ROWS, runFinderRow } from '../../bench/honest/finder.ts';

const play = (from: number, verdicts: string, rules = USUAL_FINDER): FinderState =>
  [...verdicts].reduce(
    (state, v) => judgeFinder(state, v === 'c' ? 'clean' : 'missed'),
    beginFinder(from, rules),
  );

describe('one pass after another', () => {
  it('goes up after clean passes, by an eighth at most', () => {
    // 60 · e^0.12 = 67.6
    const { passes, bpm } = play(60, 'c');
    expect([passes[0]!.bpm, bpm]).toEqual([60, 68]);
  });

  it('asks about the same tempo once more after a miss far below what was just clean', () => {
    const before = play(60, 'cccc');
    const slip = judgeFinder(before, 'missed', 64);
    expect(slip.bpm).toBeGreaterThan(64 * 0.98);
    expect(judgeFinder(slip, 'clean').bpm).toBeGreaterThan(64);
  });

  it('ends near the wall it met, with one slip on the way or without', () => {
    const wall = (slipAt: number): number => {
      let state = beginFinder(60);
      while (!state.found) {
        const slip = state.passes.length === slipAt;
        state = judgeFinder(state, state.bpm < 100 && !slip ? 'clean' : 'missed');
      }
      return state.found.start;
    };
    expect(wall(-1)).toBeGreaterThan(92);
    for (const slipAt of [1, 2, 3, 4]) expect(wall(slipAt)).toBeGreaterThan(0.9 * wall(-1));
  });

  it('goes far down after misses in a row', () => {
    expect(play(60, 'mmm').bpm).toBeLessThan(60 * 0.8);
  });

  it('ends by itself after the most passes, and then changes no more', () => {
    const over = play(60, 'c'.repeat(USUAL_FINDER.maxPasses));
    expect(over.found).not.toBeNull();
    expect(over.passes.length).toBeLessThanOrEqual(14);
    expect(judgeFinder(over, 'clean')).toBe(over);
  });

  it('stays within the tempos of the program', () => {
    expect(play(390, 'cccc').bpm).toBe(400);
    expect(play(21, 'mmmm').bpm).toBe(20);
  });
});

describe('where it ends', () => {
  it.each(FINDER_ROWS)('lapses $lapses, steepness $steepness', (player) => {
    const { low, middle, mostPasses } = runFinderRow(player, 400, 20310106);
    expect(middle).toBeGreaterThan(0.95);
    expect(middle).toBeLessThan(1.05);
    // The lower tenth of 400 searches is known to about ± 0.015.
    expect(low).toBeGreaterThan(player.lapses === 0.1 ? 0.835 : 0.87);
    expect(mostPasses).toBeLessThanOrEqual(14);
  });
});
