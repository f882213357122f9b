// Machines of one player, killed, restored and cut off at any moment, and their files torn, lost, doubled and out of
// order; and students are removed meanwhile: in the end all are alike, no pass is lost, and of who was removed nothing is left.
// 40 interleavings of each kind, 10,000 in the long form.
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { faultsOf } from '../../support/machines/interleaved.ts';
import { type Order, orders, ordersWithRemovals } from '../../support/machines/orders.ts';
import { FOUND } from '../../support/machines/orders-found.ts';
import { SCALE, told } from './scale.ts';

async function takeAll(some: fc.Arbitrary<Order>): Promise<number> {
  let taken = 0;
  await fc.assert(
    fc.asyncProperty(some, async ({ machines, steps }) => {
      taken += steps.length;
      expect(await faultsOf(machines, steps)).toEqual([]);
    }),
    { numRuns: SCALE.interleavings, endOnFailure: true },
  );
  return taken;
}

it(
  `machines are alike after ${SCALE.interleavings} interleavings`,
  async () => {
    const steps = await takeAll(orders);
    told(`${SCALE.interleavings} interleavings of ${steps} steps: all alike, nothing lost`);
  },
  SCALE.milliseconds,
);

it(
  `and after ${SCALE.interleavings} in which students are removed for good, of whom nothing is left anywhere`,
  async () => {
    const steps = await takeAll(ordersWithRemovals);
    told(`${SCALE.interleavings} interleavings of ${steps} steps with removals: nothing is left`);
  },
  SCALE.milliseconds,
);

it.each(FOUND)('%s: lost or left no more', async (_, machines, steps) => {
  expect(await faultsOf(machines, steps)).toEqual([]);
});
