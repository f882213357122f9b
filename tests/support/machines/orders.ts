// Orders in which things happen to a player's machines and their files, at random: most of what happens is that something
// is done, told and carried.
import fc from 'fast-check';
import { type Step, STEPS } from './interleaved.ts';

type Does = Step['does'];
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
export const KNOWN: readonly Step[] = [
  ...[1, 2].map((m): Step => ({ does: 'join', m, n: 0 })),
  ...(['teach', 'sync', 'send all'] as const).map((does): Step => ({ does, m: 0, n: 0 })),
  ...[1, 2].flatMap((m): readonly Step[] => [
    { does: 'fetch all', m, n: 0 },
    { does: 'sync', m, n: 0 },
  ]),
];

export interface Order {
  readonly machines: number;
  readonly steps: readonly Step[];
}

const orderOf = (one: fc.Arbitrary<Step>, maxLength: number): fc.Arbitrary<Order> =>
  fc.record({
    machines: fc.integer({ min: 2, max: 3 }),
    steps: fc.array(one, { minLength: 10, maxLength, size: 'max' }),
  });

export const orders = orderOf(step, 60);
/** In which students are removed for good. */
export const ordersWithRemovals = orderOf(stepOfPeople, 50).map(({ machines, steps }): Order => ({
  machines,
  steps: [...KNOWN, ...steps],
}));
