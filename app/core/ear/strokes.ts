// Strokes of which nothing is known beforehand: sudden rises of the sound, for finding a start and for rests.
import type { Seconds, Share } from '../base/units.ts';
import { fastFrameAt, type Frames } from './frames.ts';
import { FAST } from './network/shape.ts';

export interface Stroke {
  readonly at: Seconds;
  /** 1 is a clear stroke of its neighbourhood's usual size. */
  readonly strength: Share;
}

/** A band counts from 55 dB below the loudest of the stretch on. */
const FLOOR = 10 ** -5.5;
/** So long before the rise the sound is compared with, and so far apart two strokes are. */
const LAG = 3;
const APART: Seconds = 0.06;
/** Mean rise of the bands, in bels of power, that makes a stroke. */
const LEAST_RISE = 0.45;

/** All strokes of a stretch, by time. */
export function strokesBetween(frames: Frames, from: Seconds, to: Seconds): readonly Stroke[] {
  const first = fastFrameAt(from);
  const count = Math.max(0, fastFrameAt(to) - first);
  const powers = Array.from({ length: count }, (_, i) => frames.fast(first + i));
  let loudest = 0;
  for (const frame of powers)
    for (let b = 0; b < FAST.bands; b++) loudest = Math.max(loudest, frame[b]!);
  const floor = loudest * FLOOR + 1e-12;
  const rises = powers.map((frame, i) => riseBetween(powers[Math.max(0, i - LAG)]!, frame, floor));
  const reach = Math.round(APART / FAST.hop);
  return rises.flatMap((rise, i): Stroke[] => {
    if (rise < LEAST_RISE) return [];
    for (let k = Math.max(0, i - reach); k <= Math.min(count - 1, i + reach); k++) {
      if (rises[k]! > rise || (rises[k] === rise && k < i)) return [];
    }
    return [{ at: (first + i - 1) * FAST.hop, strength: rise / (2 * LEAST_RISE) }];
  });
}

function riseBetween(before: Float32Array, now: Float32Array, floor: number): number {
  let sum = 0;
  for (let b = 0; b < FAST.bands; b++) {
    sum += Math.max(0, Math.log10((now[b]! + floor) / (before[b]! + floor)));
  }
  return sum / FAST.bands;
}
