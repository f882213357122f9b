// How loud the microphone is, for the meter: a figure and the word that goes with it.
import type { Share } from '../../../app/core/base/units.ts';

export interface SoundLevel {
  /** Loudest sample of the last moment, 0–1. */
  readonly peak: Share;
  /** Was a sample at full scale, so that what was there is cut off? */
  readonly clipping: boolean;
}

export const NO_SOUND: SoundLevel = { peak: 0, clipping: false };

/** A sample this near full scale was cut off. */
const FULL: Share = 0.999;
/** The meter sinks by this share per batch of 21 ms: to a tenth in about half a second. */
const SINK: Share = 0.9;
/** So many batches make one picture of the meter, some twelve a second: each one more costs a laptop a frame. */
export const BATCHES_SHOWN = 4;

/** The meter after one more batch: it jumps up at once and sinks slowly; clipping stays on while it is high. */
export function nextLevel(before: SoundLevel, samples: Float32Array): SoundLevel {
  const now = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  const peak = Math.min(1, Math.max(now, before.peak * SINK));
  return { peak, clipping: now >= FULL || (before.clipping && peak > 0.5) };
}
