// The sizes that features, network and training script agree on, and which part of the sound each pitch looks at.
import type { Midi, Seconds } from '../../base/units.ts';

/** Each pitch from C2 to E6 is one token. */
export const LOWEST_PITCH: Midi = 36;
export const PITCHES = 53;

/** Thirds of a semitone from MIDI 35 up; frames of 20 ms from 0.14 s before the reference moment. */
export const SLOW = { bins: 252, lowest: 35, perSemitone: 3, frames: 51, hop: 0.02, first: -0.14 };
/** Bands and fine energies; frames of 4 ms from 0.16 s before the reference. */
export const FAST = { bands: 14, fine: 8, channels: 22, frames: 166, hop: 0.004, first: -0.16 };

/** What is due around the reference moment; marks of the pitches from C2 up, 1 for each that is. */
export interface Score {
  readonly due: Uint8Array;
  readonly before: Uint8Array;
  readonly next: Uint8Array;
}

/** The sound around a reference moment, on the scale 0 to 1. */
export interface Patch {
  /** Frame by frame, `SLOW.bins` numbers each. */
  readonly slow: Float32Array;
  /** Frame by frame, `FAST.channels` numbers each. */
  readonly fast: Float32Array;
  /** So many of the slow frames belong to this change; the later ones are not looked at. */
  readonly frames: number;
}

const HARMONICS = 12;
const BESIDE = 3;
/** Numbers of a frame that a pitch sees: each harmonic and its neighbours. */
export const SLICES = HARMONICS * BESIDE;

/** Bin of each slice of each pitch; −1 where the harmonic lies above the highest bin. */
export function sliceBins(): Int32Array {
  const bins = new Int32Array(PITCHES * SLICES);
  for (let p = 0; p < PITCHES; p++) {
    for (let h = 0; h < HARMONICS; h++) {
      const pitch = LOWEST_PITCH + p - SLOW.lowest + 12 * Math.log2(h + 1);
      const middle = roundHalfEven(pitch * SLOW.perSemitone);
      for (let j = 0; j < BESIDE; j++) {
        const bin = middle + j - 1;
        bins[p * SLICES + h * BESIDE + j] = bin >= 0 && bin < SLOW.bins ? bin : -1;
      }
    }
  }
  return bins;
}

/** As Python rounds. */
function roundHalfEven(x: number): number {
  const below = Math.floor(x);
  if (x - below !== 0.5) return Math.round(x);
  return below % 2 === 0 ? below : below + 1;
}

/** Where a fast frame lies among the slow ones: the frame before it, and the share of the next. */
export function slowPlace(fastFrame: number): { readonly frame: number; readonly share: number } {
  const at: Seconds = FAST.first + FAST.hop * fastFrame - SLOW.first;
  const place = Math.max(0, Math.min(SLOW.frames - 1.001, at / SLOW.hop));
  const frame = Math.floor(place);
  return { frame, share: place - frame };
}
