// The one place where a moment in seconds becomes a sample.
import type { SampleRate, Samples, Seconds } from '../base/units.ts';

/** Rounded once, to the nearest sample. */
export const frameAt = (at: Seconds, sampleRate: SampleRate): Samples =>
  Math.round(at * sampleRate);
