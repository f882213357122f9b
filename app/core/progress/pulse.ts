// Compares tempos that count different note values.
import type { BeatUnit, Bpm } from '../units.ts';

/** Quarter notes in one beat. */
const QUARTERS: Readonly<Record<BeatUnit, number>> = {
  half: 2,
  'dotted-half': 3,
  quarter: 1,
  'dotted-quarter': 1.5,
  eighth: 0.5,
  'dotted-eighth': 0.75,
};

/** The same speed counted in another note value: ♩ = 90 is ♩. = 60. */
export const inBeat = (bpm: Bpm, from: BeatUnit, to: BeatUnit): Bpm =>
  from === to ? bpm : (bpm * QUARTERS[from]) / QUARTERS[to];
