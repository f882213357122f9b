// Machines of one player, killed, restored and cut off at any moment, and their files torn, lost, doubled and out of
// order: in the end all are alike, and no pass is lost. 100 interleavings, 10,000 in the long form.
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { faultsOf, type Step, STEPS } from '../../support/machines/interleaved.ts';
import { SCALE, told } from './scale.ts';

/** Most of what happens is that something is done, told and carried. */
const OFTEN = [
  ...['play', 'set', 'sync', 'send all', 'fetch all'],
  ...['play', 'sync', 'send all', 'fetch all', 'play while it syncs', 'die in a sync'],
] as Step['does'][];
const step: fc.Arbitrary<Step> = fc.record({
  does: fc.oneof(fc.constantFrom(...STEPS), fc.constantFrom(...OFTEN)),
  m: fc.nat(2),
  n: fc.nat(1_000),
});

it(
  `machines are alike after ${SCALE.interleavings} interleavings`,
  async () => {
    let steps = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 2, max: 3 }),
        fc.array(step, { minLength: 10, maxLength: 60, size: 'max' }),
        async (machines, all) => {
          steps += all.length;
          expect(await faultsOf(machines, all)).toEqual([]);
        },
      ),
      { numRuns: SCALE.interleavings, endOnFailure: true },
    );
    told(`${SCALE.interleavings} interleavings of ${steps} steps: all alike, nothing lost`);
  },
  SCALE.milliseconds,
);

/** Orders in which something was once lost. */
const FOUND: readonly (readonly [what: string, machines: number, steps: readonly Step[]])[] = [
  [
    'a write whose followers were gathered',
    3,
    [
      { does: 'join', m: 2, n: 979 },
      { does: 'edit', m: 2, n: 153 },
      { does: 'sync', m: 2, n: 921 },
      { does: 'send all', m: 2, n: 345 },
      { does: 'edit', m: 2, n: 855 },
      { does: 'play while it syncs', m: 2, n: 774 },
      { does: 'unset', m: 2, n: 655 },
    ],
  ],
  [
    'what was told just before the program died',
    2,
    [
      { does: 'set', m: 0, n: 398 },
      { does: 'die in a sync', m: 0, n: 366 },
      { does: 'play', m: 0, n: 0 },
      { does: 'unset', m: 0, n: 692 },
      ...Array.from({ length: 8 }, () => ({ does: 'play', m: 0, n: 0 }) as const),
    ],
  ],
  [
    'one of two files that others were gathered in, destroyed while what it was made of lies elsewhere',
    2,
    [
      { does: 'send torn', m: 0, n: 0 },
      { does: 'play', m: 0, n: 0 },
      { does: 'edit', m: 0, n: 0 },
      { does: 'set while it syncs', m: 0, n: 4 },
      { does: 'send all', m: 0, n: 0 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'destroy', m: 0, n: 3 },
      { does: 'play', m: 0, n: 0 },
    ],
  ],
  [
    'a destroyed file that a backup does not know of, with what the backup holds',
    2,
    [
      { does: 'play while it syncs', m: 0, n: 0 },
      { does: 'back up', m: 0, n: 0 },
      { does: 'set', m: 0, n: 0 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'destroy', m: 0, n: 0 },
      { does: 'restore', m: 0, n: 0 },
      { does: 'play', m: 0, n: 0 },
    ],
  ],
  [
    'files gathered under a new name',
    2,
    [
      { does: 'play', m: 0, n: 877 },
      { does: 'sync', m: 0, n: 684 },
      { does: 'send all', m: 0, n: 70 },
      { does: 'play while it syncs', m: 0, n: 731 },
      { does: 'edit', m: 0, n: 671 },
      { does: 'die in a sync', m: 0, n: 333 },
      { does: 'play while it syncs', m: 0, n: 684 },
    ],
  ],
];

it.each(FOUND)('%s is lost no more', async (_, machines, steps) => {
  expect(await faultsOf(machines, steps)).toEqual([]);
});
