// Pitch classes as sets of twelve bits, for comparing what sounds with what a chord needs.
import type { PitchClass } from '../base/units.ts';

/** 12-bit set of pitch classes, bit 0 = C. */
export type PcSet = number;

/** The set of these pitch classes, however often each comes. */
export const pcSet = (pcs: Iterable<PitchClass>): PcSet => {
  let set = 0;
  for (const pc of pcs) set |= 1 << pc;
  return set;
};

/** The set as seen from `root`: bit 0 is the root. */
export const rotateSet = (set: PcSet, root: PitchClass): PcSet =>
  ((set >> root) | (set << (12 - root))) & 0xfff;
