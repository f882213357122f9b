// Magnitude spectra of windowed frames, on the library fft.js; one plan for each size is kept.
import FFT from 'fft.js';
import type { Samples } from '../base/units.ts';

/** Size must be a power of two. */
export interface Analyser {
  readonly size: Samples;
  /** Number of magnitudes: size / 2 + 1. */
  readonly bins: number;
  /**
   * Magnitudes of the frame that starts at `from` (samples outside count as silence), Hann window, scaled so
   * that a sine of amplitude a peaks near a. The array is reused by the next call.
   */
  magnitudes(samples: Float32Array, from: Samples): Float32Array;
  /** The same for exactly `size` samples that are windowed already. */
  plainMagnitudes(frame: ArrayLike<number>): Float32Array;
}

const plans = new Map<Samples, Analyser>();

export function analyser(size: Samples): Analyser {
  let plan = plans.get(size);
  if (!plan) plans.set(size, (plan = build(size)));
  return plan;
}

function build(size: Samples): Analyser {
  const fft = new FFT(size);
  const window = Float64Array.from({ length: size }, (_, i) => {
    return 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / size);
  });
  const frame = new Float64Array(size);
  const out = new Float64Array(2 * size);
  const bins = size / 2 + 1;
  const result = new Float32Array(bins);
  const magnitudes = (samples: Float32Array, from: Samples): Float32Array => {
    for (let i = 0; i < size; i++) frame[i] = (samples[from + i] ?? 0) * window[i]!;
    return plainMagnitudes(frame);
  };
  const plainMagnitudes = (windowed: ArrayLike<number>): Float32Array => {
    fft.realTransform(out, windowed);
    for (let k = 0; k < bins; k++) {
      result[k] = (4 / size) * Math.sqrt(out[2 * k]! ** 2 + out[2 * k + 1]! ** 2);
    }
    return result;
  };
  return { size, bins, magnitudes, plainMagnitudes };
}
