// What the words of the ear for one change amount to: whether it could be told, and what was wrong.
import type { ChangeHeard, HeardChord, Timing } from '../model/pass.ts';

/** Faults of time: how much counts as one is for the rule in force. */
const FAULTS_OF_TIME = ['late', 'early'] as const;
/** Faults of sound, the one that hides the other first: they count by any rule. */
export const FAULTS_OF_SOUND = ['silent', 'wrong'] as const;
/** What can be wrong with a change. */
export const CHANGE_FAULTS = [...FAULTS_OF_TIME, ...FAULTS_OF_SOUND] as const;
export type ChangeFault = (typeof CHANGE_FAULTS)[number];

/** Did it come at the wrong time, as against with the wrong sound? */
export const isOfTime = (fault: ChangeFault): boolean =>
  (FAULTS_OF_TIME as readonly ChangeFault[]).includes(fault);

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

/** What the ear's word for the time of a change finds fault with; null where with nothing. */
export const faultOfTiming = (timing: Timing): ChangeFault | null => BY_TIMING[timing];

/** A wrong chord is told whatever its timing; a right one needs its time. What was not told is held against nobody. */
export const isTold = ({ timing, chord }: Heard): boolean =>
  chord !== 'unsure' && !(chord === 'right' && timing === 'unsure');

/** One hearing can be both late and wrong; none where it was right and in time. */
export function faultsOf({ timing, chord }: Heard): ReadonlySet<ChangeFault> {
  return new Set([faultOfTiming(timing), BY_CHORD[chord]].filter((fault) => fault !== null));
}
