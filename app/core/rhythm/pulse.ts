// Compares tempos that count different note values.
import { beatUnitLength } from './meter.ts';
import { toNumber } from '../base/rational.ts';
import type { BeatUnit, Bpm } from '../base/units.ts';

/** The same speed counted in another note value: ♩ = 90 is ♩. = 60. */
export const inBeat = (bpm: Bpm, from: BeatUnit, to: BeatUnit): Bpm =>
  from === to ? bpm : (bpm * toNumber(beatUnitLength(from))) / toNumber(beatUnitLength(to));
