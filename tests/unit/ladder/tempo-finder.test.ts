// The staircase of the tempo finder: its steps by hand, and where it settles by seeded simulation.
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { describe, expect, it } from 'vitest';
import {
  beginFinder,
  type FinderState,
  judgeFinder,
  SETTLES_AT,
  UP_TO_DOWN,
  USUAL_FINDER,
} from '../../../app/core/ladder/tempo-finder.ts';

const play = (from: number, verdicts: string, rules = USUAL_FINDER): FinderState =>
  [...verdicts].reduce(
    (state, v) => judgeFinder(state, v === 'c' ? 'clean' : 'missed'),
    beginFinder(from, rules),
  );

describe('one pass after another', () => {
  it('goes up by a tenth until the first miss', () => {
    // 60 · e^0.1 = 66.3, · e^0.2 = 73.3
    expect(play(60, 'cc').passes.map((p) => p.bpm)).toEqual([60, 66]);
    expect(play(60, 'cc').bpm).toBe(73);
  });

  it('goes down by a shrinking step after a miss, and up by 0.2845 of it after a clean pass', () => {
    // The first turn shrinks 0.25 to 0.15: 100 · e^(0.1 − 0.15) = 95.1; the next one to 0.09.
    expect(play(100, 'cm').bpm).toBe(95);
    expect(play(100, 'cmc').level).toBeCloseTo(Math.log(100) - 0.05 + 0.09 * 0.2845, 10);
  });

  it('ends by itself after five turns or twelve passes, with a range around the start', () => {
    const turned = play(80, 'ccmcmcm');
    expect(turned.turns).toBe(5);
    const { low, start, high } = turned.found!;
    expect(low).toBeLessThan(start);
    expect(start).toBeLessThan(high);
    expect(play(60, 'ccccccccccc').found).toBeNull();
    expect(play(60, 'cccccccccccc').found).not.toBeNull();
    expect(judgeFinder(turned, 'clean')).toBe(turned);
  });

  it('stays within the tempos of the program', () => {
    expect(play(390, 'cccc').bpm).toBe(400);
    expect(play(21, 'mmmm').bpm).toBe(20);
  });
});

/**
 * A player whose share of clean passes falls with the logarithm of the tempo along a logistic curve, and
 * is SETTLES_AT at `comfortable` bpm. `slope`: how many e-folds of tempo take the odds down by one.
 */
function makePlayer(comfortable: number, slope: number, seed: number) {
  const random = xoroshiro128plus(seed);
  const odds = Math.log(SETTLES_AT / (1 - SETTLES_AT));
  const share = (bpm: number) => 1 / (1 + Math.exp(Math.log(bpm / comfortable) / slope - odds));
  const verdict = (bpm: number) =>
    uniformFloat64(random) < share(bpm) ? ('clean' as const) : ('missed' as const);
  return { share, verdict };
}

describe('where it settles', () => {
  // García-Pérez 1998 (abstract): down/up step ratio 0.2845 with 1-down-1-up settles at 77.85 %.
  it('has the published ratio and share', () => {
    expect([UP_TO_DOWN, SETTLES_AT]).toEqual([0.2845, expect.closeTo(0.7785, 4)]);
  });

  it('plays 77.85 % clean in the long run, however steep the player', () => {
    for (const slope of [0.03, 0.06, 0.12]) {
      const player = makePlayer(120, slope, 11);
      const endless = {
        ...USUAL_FINDER,
        firstDown: 0.05,
        leastDown: 0.05,
        turns: Infinity,
        maxPasses: 1e9,
      };
      let state = beginFinder(90, endless);
      for (let i = 0; i < 6000; i++) state = judgeFinder(state, player.verdict(state.bpm));
      const clean = state.passes.filter((p) => p.verdict === 'clean').length;
      // Three standard errors of a share of 0.78 in 6,000 passes are 0.016.
      expect(Math.abs(clean / 6000 - 0.7785)).toBeLessThan(0.016);
    }
  });

  it.each([
    [0.04, 70],
    [0.04, 120],
    [0.08, 70],
    [0.08, 150],
  ])(
    'finds in at most 12 passes a start near 80 percent clean (slope %d, first pass %d bpm)',
    (slope, from) => {
      const player = makePlayer(120, slope, 5);
      const runs = 1500;
      const found = Array.from({ length: runs }, () => {
        let state = beginFinder(from);
        while (state.found === null) state = judgeFinder(state, player.verdict(state.bpm));
        expect(state.passes.length).toBeLessThanOrEqual(12);
        return state.found.start;
      });
      const mean = found.reduce((sum, bpm) => sum + player.share(bpm), 0) / runs;
      expect(mean).toBeGreaterThan(0.72);
      expect(mean).toBeLessThan(0.86);
    },
  );
});
