// Five machines of one player, some weeks of practice, wrong clocks, two restores: in the end all hold the same.
import { describe, expect, it } from 'vitest';
import { liveMonths } from '../../../support/machines/months.ts';

const days = async (count: number) => {
  const { seconds, ...outcome } = await liveMonths({ days: count, seed: 3 });
  expect(seconds).toBeGreaterThan(0);
  return outcome;
};

describe('five machines of one player', () => {
  it('agree in the end; no pass is lost or doubled', async () => {
    const outcome = await liveMonths({ days: 7, seed: 1 });
    expect(outcome).toMatchObject({
      differences: [],
      lost: [],
      doubled: [],
      missing: [],
      traces: [],
    });
    expect(outcome.passes).toBeGreaterThan(20);
    expect([outcome.students > 1, outcome.reported > 2]).toEqual([true, true]);
    expect(outcome.rounds).toBeLessThan(6);
  });

  it('agree in the end, too, where files are destroyed for everybody, and of whom was removed nothing is left', async () => {
    const outcome = await liveMonths({ days: 9, seed: 5, destroyed: 0.4, removes: true });
    const none = { differences: [], lost: [], doubled: [], missing: [], waited: 0, traces: [] };
    expect(outcome).toMatchObject(none);
    expect(outcome.destroyed).toBeGreaterThan(10);
    expect(outcome.forGood).toBeGreaterThan(0);
    expect(outcome.passes).toBeGreaterThan(20);
  });

  it('live the same days from the same seed', async () => {
    const [one, again] = [await days(4), await days(4)];
    expect(one).toEqual(again);
    expect(one.passes).toBeGreaterThan(5);
  });
});
