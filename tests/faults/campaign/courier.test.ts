// The courier over a line that is cut, slow, refused or out of room at any request, with half uploads and lost answers:
// in the end all computers have the same, nothing that was written is missing, and what was taken out stays out.
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { courierFaults, type CourierStep, COURIER_STEPS } from '../../support/dav/couriers.ts';
import { LINE_FAULTS } from '../../support/dav/memory-outside.ts';
import { SCALE, told } from './scale.ts';

const step: fc.Arbitrary<CourierStep> = fc.record({
  does: fc.constantFrom<CourierStep['does']>(...COURIER_STEPS, 'write', 'meet', 'meet', 'meet'),
  m: fc.nat(2),
  n: fc.nat(1_000),
  faults: fc.array(fc.constantFrom(undefined, undefined, ...LINE_FAULTS), { maxLength: 12 }),
});

it(
  `computers agree after ${SCALE.couriers} bad lines`,
  async () => {
    let requests = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.array(step, { minLength: 8, maxLength: 30, size: 'max' }),
        fc.integer({ min: 2, max: 3 }),
        async (steps, computers) => {
          requests += steps.flatMap(({ faults }) => faults).filter(Boolean).length;
          expect(await courierFaults(steps, computers)).toEqual([]);
        },
      ),
      { numRuns: SCALE.couriers, endOnFailure: true },
    );
    told(`${SCALE.couriers} runs of couriers, up to ${requests} faults on the line: all agree`);
  },
  SCALE.milliseconds,
);

it('what went half while it was locked is sent whole', async () => {
  const step = (does: CourierStep['does'], ...faults: CourierStep['faults']): CourierStep => ({
    ...{ does, m: 0, n: 0, faults },
  });
  const steps = [
    ...[step('write'), step('meet'), step('lock')],
    step('meet', undefined, 'goes half', 'is full'),
  ];
  expect(await courierFaults(steps, 2)).toEqual([]);
});

it('what was taken out does not come back from the open file that a lock left behind', async () => {
  const step = (does: CourierStep['does'], ...faults: CourierStep['faults']): CourierStep => ({
    ...{ does, m: 0, n: 2, faults },
  });
  const steps = [
    ...[step('write'), step('meet'), step('lock'), step('take out')],
    step('meet', undefined, undefined, 'takes too long'),
  ];
  // Whichever file it is.
  for (const n of [0, 1, 2, 3]) {
    const deleted = { ...step('somebody deletes on the server'), n };
    expect(await courierFaults([...steps, deleted], 2)).toEqual([]);
  }
});
