// Notices that every chord sounds higher or lower than the chart says: a capo at another fret, or another tuning.
import type { PitchClass, Share } from '../base/units.ts';
import type { ExpectedChange } from './model.ts';

/** So many changes must have been heard, and the shifted chart must fit each better by this on average (nats). */
const LEAST_CHANGES = 4;
const CLEARLY = 4;
/** Where more of them than this fit the chart better as it stands, others are other chords, and not all are shifted. */
const UNSHIFTED: Share = 1 / 4;

export interface ShiftFinder {
  hear(change: ExpectedChange, present: readonly Share[] | undefined): void;
  /** Semitones, −5 to 6; 0 where the chart fits as it stands. */
  found(): number;
}

/** Finds out whether all chords sound so many semitones away, as with another capo. */
export function shiftFinder(): ShiftFinder {
  const sums = new Float64Array(12);
  const unshifted = new Float64Array(12);
  let count = 0;
  return {
    hear: ({ to }, present) => {
      if (!to || !present) return;
      count++;
      const fits = sums.map((_, shift) =>
        fit(
          present,
          to.pitchClasses.map((pc) => (pc + shift) % 12),
        ),
      );
      fits.forEach((nats, shift) => {
        sums[shift]! += nats;
        if (nats < fits[0]!) unshifted[shift]! += 1;
      });
    },
    found: () => {
      const best = sums.indexOf(Math.max(...sums));
      if (count < LEAST_CHANGES || sums[best]! - sums[0]! < CLEARLY * count) return 0;
      if (unshifted[best]! > UNSHIFTED * count) return 0;
      return best > 6 ? best - 12 : best;
    },
  };
}

/** Log likelihood of exactly these pitch classes sounding, each being present with its own probability. */
function fit(present: readonly Share[], pitchClasses: readonly PitchClass[]): number {
  let sum = 0;
  for (let pc = 0; pc < 12; pc++) {
    const p = Math.min(1 - 1e-4, Math.max(1e-4, present[pc]!));
    sum += Math.log(pitchClasses.includes(pc) ? p : 1 - p);
  }
  return sum;
}
