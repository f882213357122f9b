// Puts one sound among others.
import type { Gain, Samples } from '../base/units.ts';

/** Adds `samples` times `gain` to `out`. @param start frame of `out` at which they begin, perhaps outside it */
export function addSamples(
  out: Float32Array,
  start: Samples,
  samples: Float32Array,
  gain: Gain,
): void {
  const end = Math.min(out.length, start + samples.length);
  for (let i = Math.max(0, start); i < end; i++) out[i]! += gain * samples[i - start]!;
}
