// What the words of the ear for one change amount to: whether it could be told, and what was wrong.
import type { ChangeHeard, HeardChord, Timing } from '../model/pass.ts';

export type ChangeFault = 'early' | 'late' | 'wrong' | 'silent';

type Heard = Pick<ChangeHeard, 'timing' | 'chord'>;

const BY_TIMING: Readonly<Record<Timing, ChangeFault | null>> = {
  'on-time': null,
  early: 'early',
  late: 'late',
  silent: 'silent',
  unsure: null,
};

const BY_CHORD: Readonly<Record<HeardChord, ChangeFault | null>> = {
  right: null,
  held: 'wrong',
  other: 'wrong',
  muted: 'wrong',
  silent: 'silent',
  unsure: null,
};

/** A wrong chord is told whatever its timing; a right one needs its time. What was not told is held against nobody. */
export const isTold = ({ timing, chord }: Heard): boolean =>
  chord !== 'unsure' && !(chord === 'right' && timing === 'unsure');

/** One hearing can be both late and wrong; none where it was right and in time. */
export function faultsOf({ timing, chord }: Heard): ReadonlySet<ChangeFault> {
  return new Set([BY_TIMING[timing], BY_CHORD[chord]].filter((fault) => fault !== null));
}
