// How loud the microphone is: how far a meter is filled, and the word that goes with it.
import type { Decibels, Share } from '../../../app/core/base/units.ts';

export interface Loudness {
  /** Loudest sample of the last moment, 0–1. */
  readonly peak: Share;
  readonly clipping: boolean;
}

/** Bottom of the meter. A quiet room is about there through most microphones (common practice, no source). */
const FLOOR: Decibels = -60;

/** Position on the meter, 0 at {@link FLOOR} and 1 at full scale. */
export const meterShare = ({ peak }: Loudness): Share =>
  peak <= 0 ? 0 : Math.max(0, 1 - (20 * Math.log10(peak)) / FLOOR);

export type LevelWord = 'nothing' | 'too soft' | 'good' | 'clipping';

/** −34 dBFS, as for a whole take: softer, and too little is left above a usual microphone's own noise. */
const SOFT: Share = 0.02;
const NOTHING: Share = 0.002;

/** Something is heard from −54 dBFS, enough of it from −34 dBFS. */
export function levelWord({ peak, clipping }: Loudness): LevelWord {
  if (clipping) return 'clipping';
  if (peak < NOTHING) return 'nothing';
  return peak < SOFT ? 'too soft' : 'good';
}
