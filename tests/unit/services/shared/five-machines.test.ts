// Five machines of one player, some weeks of practice, wrong clocks, two restores: in the end all hold the same.
import { describe, expect, it } from 'vitest';
import { liveMonths } from '../../../support/machines/months.ts';

describe('five machines of one player', () => {
  it('agree in the end; no pass is lost or doubled', { timeout: 120_000 }, async () => {
    const outcome = await liveMonths({ days: 7, seed: 1 });
    expect(outcome).toMatchObject({ differences: [], lost: [], doubled: [], missing: [] });
    expect(outcome.passes).toBeGreaterThan(20);
    expect([outcome.students > 1, outcome.reported > 2]).toEqual([true, true]);
    expect(outcome.rounds).toBeLessThan(6);
  });
});
