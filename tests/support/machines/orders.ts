// Orders in which things happen to a player's machines and their files, at random: most of what happens is that something
// is done, told and carried.
import fc from 'fast-check';
import { isGentle, type Step, STEPS } from './steps.ts';

type Does = Step['does'];
type Draws = fc.Arbitrary<readonly Step[]>;

const REMOVING = 'remove while it syncs';
const m = fc.nat(2);
const n = fc.nat(1_000);
const one = (does: readonly Does[]): Draws =>
  fc.record({ does: fc.constantFrom(...does), m, n }).map((step) => [step]);
const after = (machine: number, ...some: readonly (readonly [Does, number])[]): readonly Step[] =>
  some.map(([does, number]) => ({ does, m: machine, n: number }));

/** Something is done on a machine, told, and goes out. */
const handsOn = (does: readonly Does[]): Draws =>
  fc
    .tuple(
      m,
      n,
      fc.array(fc.constantFrom(...does), {
        minLength: 1,
        maxLength: 3,
        size: 'max',
      }),
    )
    .map(([at, number, some]) => [
      ...some.flatMap((what, i) => after(at, [what, number + i], ['sync', 0])),
      ...after(at, ['send all', 0]),
    ]);

/** What went out comes to a machine, and is taken in while something else happens. */
const takesIn = (does: readonly Does[]): Draws =>
  fc
    .tuple(m, n, fc.constantFrom(...does))
    .map(([at, number, what]) => after(at, ['fetch all', 0], [what, number]));

const DONE: readonly Does[] = ['play', 'play', 'play', 'set', 'edit', 'edit', 'word', 'unset'];
const TAKING = STEPS.filter((does) => does.endsWith('while it syncs') && does !== REMOVING);
const MOSTLY: readonly Does[] = ['sync', 'die in a sync', ...TAKING];
/** What is done on one machine is taken in on another. */
const goesOver = (does: readonly Does[], taking: readonly Does[]): Draws =>
  fc.tuple(handsOn(does), takesIn(taking)).map((both) => both.flat());

const anything = fc.oneof(
  { weight: 3, arbitrary: one(STEPS) },
  { weight: 3, arbitrary: goesOver(DONE, MOSTLY) },
  { weight: 1, arbitrary: handsOn(DONE) },
  { weight: 1, arbitrary: takesIn(MOSTLY) },
);
const gently = STEPS.filter((does) => isGentle({ does, m: 0, n: 0 }));
const gentle = fc.oneof(
  one(gently),
  goesOver(
    [...DONE, 'teach', 'report'],
    ['sync', ...TAKING.filter((does) => gently.includes(does))],
  ),
);

/** Where people are removed, they are written about, and files of them come late, twice and once more. */
const removals = fc.oneof(
  one([
    ...(['remove for good', REMOVING, 'die while removing', 'take off'] as const),
    ...(['teach', 'bring back', 'copy', 'back up', 'restore', 'destroy'] as const),
  ]),
  goesOver(['teach', 'report', 'report', 'take off'], ['sync', REMOVING]),
  anything,
);

/** All machines of the teacher know of a student. */
export const KNOWN: readonly Step[] = [
  ...[1, 2].map((m): Step => ({ does: 'join', m, n: 0 })),
  ...(['teach', 'sync', 'send all'] as const).map((does): Step => ({
    does,
    m: 0,
    n: 0,
  })),
  ...[1, 2].flatMap((m): readonly Step[] => [
    { does: 'fetch all', m, n: 0 },
    { does: 'sync', m, n: 0 },
  ]),
];

/** All of them share from the beginning. */
const JOINED = [1, 2].map((at): Step => ({ does: 'join', m: at, n: 0 }));

export interface Order {
  readonly machines: number;
  readonly steps: readonly Step[];
}

const orderOf = (first: readonly Step[], some: Draws, maxLength: number): fc.Arbitrary<Order> =>
  fc.record({
    machines: fc.integer({ min: 2, max: 3 }),
    steps: fc
      .array(some, { minLength: 6, maxLength, size: 'max' })
      .map((all) => [...first, ...all.flat()]),
  });

export const orders = fc.oneof(
  orderOf(JOINED, anything, 20),
  orderOf([], anything, 20),
  orderOf(JOINED, gentle, 20),
);
/** In which students are removed for good. */
export const ordersWithRemovals = orderOf(KNOWN, removals, 20);
