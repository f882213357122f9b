// A search for a start tempo, lived through as a climb: its tempos, its end, undo.
import { describe, expect, it } from 'vitest';
import { findingGrid, finderOf } from '../../../app/core/ladder/finding.ts';
import { newFinding } from '../../../app/core/ladder/new-climb.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { PLAIN_RULES } from '../../support/plain-rules.ts';
import { Played } from './example.ts';

class Search extends Played {
  constructor(rules: Partial<typeof PLAIN_RULES> = {}) {
    super(rules);
    this.state = unwrap(newFinding({ ...PLAIN_RULES, ...rules }));
  }
}

describe('the tempos of a search', () => {
  it('reach from half the start to a quarter above the target, start and target among them', () => {
    const { grid, startRung, targetRung } = findingGrid(PLAIN_RULES);
    expect([grid[0], grid[startRung], grid[targetRung]]).toEqual([30, 60, 100]);
    expect(grid.at(-1)).toBeLessThanOrEqual(125);
    expect(grid.every((bpm, i) => i === 0 || bpm > (grid[i - 1] as number))).toBe(true);
  });

  it('stay within the tempos of the program', () => {
    const { grid } = findingGrid({ ...PLAIN_RULES, start: 22, target: 399 });
    expect([grid[0], (grid.at(-1) as number) <= 400]).toEqual([20, true]);
  });
});

describe('a search', () => {
  it('goes up by about an eighth, turns, and ends by itself with a start and its range', () => {
    const it = new Search().begin().rest('ccccmcmcmcmcmc');
    // 60 · e^0.12 is 67.6: the nearest tempo of the grid is 68.
    expect(it.tempos.slice(0, 2)).toEqual([60, 68]);
    expect(it.tempos[5]).toBeLessThan(it.tempos[4] as number);
    expect(it.state.finished?.reason).toBe('found');
    const { start, low, high } = finderOf(it.state).found!;
    expect(low).toBeLessThanOrEqual(start);
    expect(start).toBeLessThanOrEqual(high);
  });

  it('takes a verdict back, and goes on from there', () => {
    const it = new Search().begin().rest('cc').send({ kind: 'undo' }).judge('missed');
    expect(it.effects.at(-1)).toEqual({
      kind: 'queue',
      pass: 3,
      rung: it.state.footholds.lower.rung,
    });
    expect(it.state.rungs[it.state.footholds.lower.rung]).toBeLessThan(68);
  });

  it('comes back paused when the verdict that ended it is taken back', () => {
    const it = new Search().begin();
    while (it.state.finished === null) it.rest(it.tempos.length % 2 ? 'c' : 'm');
    expect(it.send({ kind: 'undo' }).state).toMatchObject({ phase: 'paused', finished: null });
  });

  it('never plays on without a rest, and knows no limits of its own', () => {
    const it = new Search({ restBars: 0, maxPasses: 2, maxMinutes: 1 }).begin().rest('ccc');
    expect(it.state.rules).toMatchObject({ restBars: 1, maxPasses: 0 });
    expect(it.tempos).toHaveLength(3);
  });

  it('does not hold a failing sound against the tempo', () => {
    const it = new Search().begin();
    it.send({ kind: 'pass-started', pass: 1 }).send({ kind: 'unit-started', pass: 1 });
    it.send({ kind: 'pass-ended', pass: 1, underrun: true }).judge('missed');
    expect(it.state.planned?.rung).toBe(it.state.footholds.lower.rung);
    expect(finderOf(it.state).passes).toEqual([]);
  });
});
