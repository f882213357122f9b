// Machines of one player, killed, restored and cut off at any moment, and their files torn, lost, doubled and out of
// order; and students are removed meanwhile: in the end all are alike, no pass is lost, and of who was removed nothing is left.
// 50 interleavings of each kind, 10,000 in the long form.
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { faultsOf, type Step, STEPS } from '../../support/machines/interleaved.ts';
import { SCALE, told } from './scale.ts';

type Does = Step['does'];
/** Most of what happens is that something is done, told and carried. */
const OFTEN = [
  ...['play', 'set', 'sync', 'send all', 'fetch all'],
  ...['play', 'sync', 'send all', 'fetch all', 'play while it syncs', 'die in a sync'],
] as Does[];
const numbers = { m: fc.nat(2), n: fc.nat(1_000) };
const step: fc.Arbitrary<Step> = fc.record({
  does: fc.oneof(fc.constantFrom(...STEPS), fc.constantFrom(...OFTEN)),
  ...numbers,
});

/** Where people are removed, they are written about, and files of them come late, twice and once more. */
const OF_PEOPLE = [
  ...['remove for good', 'remove while it syncs', 'die while removing', 'take off'],
  ...['teach', 'report', 'report', 'bring back', 'copy', 'back up', 'restore', 'destroy'],
  ...['sync', 'sync', 'send all', 'fetch all', 'send', 'fetch'],
] as Does[];
const stepOfPeople: fc.Arbitrary<Step> = fc.oneof(
  step,
  fc.record({ does: fc.constantFrom(...OF_PEOPLE), ...numbers }),
);
/** All machines of the teacher know of a student. */
const KNOWN: readonly Step[] = [
  ...[1, 2].map((m): Step => ({ does: 'join', m, n: 0 })),
  ...(['teach', 'sync', 'send all'] as const).map((does): Step => ({ does, m: 0, n: 0 })),
  ...[1, 2].flatMap((m): readonly Step[] => [
    { does: 'fetch all', m, n: 0 },
    { does: 'sync', m, n: 0 },
  ]),
];

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

it(
  `and after ${SCALE.interleavings} in which students are removed for good, of whom nothing is left anywhere`,
  async () => {
    let steps = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 2, max: 3 }),
        fc.array(stepOfPeople, { minLength: 10, maxLength: 50, size: 'max' }),
        async (machines, all) => {
          steps += all.length;
          expect(await faultsOf(machines, [...KNOWN, ...all])).toEqual([]);
        },
      ),
      { numRuns: SCALE.interleavings, endOnFailure: true },
    );
    told(`${SCALE.interleavings} interleavings of ${steps} steps with removals: nothing is left`);
  },
  SCALE.milliseconds,
);

/** Orders in which something was once lost, or left. */
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
  [
    'rest: files of as many desks as are gathered at once',
    3,
    [
      { does: 'play', m: 2, n: 432 },
      { does: 'teach', m: 2, n: 29 },
      { does: 'report', m: 2, n: 680 },
    ],
  ],
  [
    'what was read of somebody whom another machine told of late',
    2,
    [
      ...KNOWN,
      { does: 'report', m: 0, n: 0 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'send all', m: 0, n: 0 },
      { does: 'remove for good', m: 1, n: 0 },
      { does: 'sync', m: 1, n: 0 },
      { does: 'fetch all', m: 1, n: 0 },
      { does: 'sync', m: 1, n: 0 },
    ],
  ],
  [
    'whose file it is where the program ends while a new name is taken',
    3,
    [
      { does: 'join', m: 1, n: 0 },
      { does: 'teach', m: 0, n: 949 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'send all', m: 0, n: 0 },
      { does: 'fetch all', m: 1, n: 0 },
      { does: 'sync', m: 1, n: 0 },
      { does: 'report', m: 1, n: 160 },
      { does: 'die in a sync', m: 1, n: 787 },
      { does: 'remove for good', m: 2, n: 478 },
      { does: 'die in a sync', m: 1, n: 131 },
    ],
  ],
  [
    'what was played, and not told yet when the log was made anew and somebody removed',
    2,
    [
      { does: 'teach', m: 0, n: 218 },
      { does: 'remove while it syncs', m: 2, n: 73 },
      { does: 'play while it syncs', m: 0, n: 203 },
      { does: 'report', m: 2, n: 224 },
      { does: 'send', m: 2, n: 180 },
      { does: 'play while it syncs', m: 2, n: 776 },
      { does: 'mend the log', m: 0, n: 899 },
      { does: 'remove for good', m: 2, n: 698 },
    ],
  ],
  [
    'a part of a file that was gathered with others, and comes back to who wrote it',
    3,
    [
      { does: 'join', m: 1, n: 0 },
      { does: 'teach', m: 1, n: 149 },
      { does: 'set', m: 1, n: 524 },
      { does: 'sync', m: 1, n: 733 },
      { does: 'play', m: 1, n: 282 },
      { does: 'send torn', m: 1, n: 999 },
      { does: 'remove while it syncs', m: 2, n: 977 },
      { does: 'die while removing', m: 1, n: 43 },
      { does: 'play while it syncs', m: 1, n: 587 },
    ],
  ],
  [
    'whose file it is where the name was taken after the backup that was brought back',
    3,
    [
      { does: 'teach', m: 0, n: 879 },
      { does: 'back up', m: 0, n: 383 },
      { does: 'destroy', m: 2, n: 931 },
      { does: 'sync', m: 0, n: 437 },
      { does: 'restore', m: 0, n: 739 },
      { does: 'die while removing', m: 1, n: 777 },
    ],
  ],
];

it.each(FOUND)('%s: lost or left no more', async (_, machines, steps) => {
  expect(await faultsOf(machines, steps)).toEqual([]);
});
