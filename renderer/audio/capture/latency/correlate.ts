// Finds a known signal in a recording: by how many samples it is late, and how clearly it stands out.
import FFT from 'fft.js';
import type { Decibels, Samples } from '../../../../app/core/base/units.ts';

export interface Found {
  /** Position of the signal's first sample in the recording, between samples too. */
  readonly delay: Samples;
  /** Peak of the correlation against the root mean square of all that lies apart from it. */
  readonly aboveRest: Decibels;
}

/** So near the peak its own slopes lie, and the first reflections of a room: 10 ms at 48 kHz. */
const NEAR: Samples = 480;

/**
 * @param heard At least as long as `known`; every position at which `known` fits in whole is tried.
 * @throws RangeError when it is shorter.
 */
export function findSignal(heard: Float32Array, known: Float32Array): Found {
  const lags = correlation(heard, known);
  let at = 0;
  lags.forEach((value, i) => {
    if (Math.abs(value) > Math.abs(lags[at]!)) at = i;
  });
  const rest = restOf(lags, at);
  // An inverted microphone makes the peak negative: the delay is the same.
  const aboveRest = rest === 0 ? Infinity : 20 * Math.log10(Math.abs(lags[at]!) / rest);
  return { delay: at + summit(lags, at), aboveRest: lags[at] === 0 ? -Infinity : aboveRest };
}

/** Cross-correlation at lags from 0 to as far as `known` fits in, by the spectrum. */
export function correlation(heard: Float32Array, known: Float32Array): Float64Array {
  const count = heard.length - known.length + 1;
  if (count < 1) {
    throw new RangeError(`correlation: ${heard.length} samples hold no signal of ${known.length}`);
  }
  const fft = new FFT(2 ** Math.max(1, Math.ceil(Math.log2(heard.length))));
  const [h, k] = [spectrum(fft, heard), spectrum(fft, known)];
  const product = fft.createComplexArray();
  for (let i = 0; i < product.length; i += 2) {
    product[i] = h[i]! * k[i]! + h[i + 1]! * k[i + 1]!;
    product[i + 1] = h[i + 1]! * k[i]! - h[i]! * k[i + 1]!;
  }
  const out = fft.createComplexArray();
  fft.inverseTransform(out, product);
  return Float64Array.from({ length: count }, (_, i) => out[2 * i]!);
}

function spectrum(fft: FFT, samples: Float32Array): number[] {
  const padded = new Float64Array(fft.size);
  padded.set(samples);
  const out = fft.createComplexArray();
  fft.realTransform(out, padded as unknown as number[]);
  fft.completeSpectrum(out);
  return out;
}

function restOf(lags: Float64Array, at: Samples): number {
  let sum = 0;
  let count = 0;
  lags.forEach((value, i) => {
    if (Math.abs(i - at) <= NEAR) return;
    sum += value * value;
    count += 1;
  });
  return count === 0 ? 0 : Math.sqrt(sum / count);
}

/** Where the parabola through the peak and its neighbours is highest, −0.5 to 0.5. */
function summit(lags: Float64Array, at: Samples): number {
  const [a, b, c] = [lags[at - 1], lags[at]!, lags[at + 1]];
  if (a === undefined || c === undefined) return 0;
  const bend = a - 2 * b + c;
  return bend === 0 ? 0 : Math.max(-0.5, Math.min(0.5, (0.5 * (a - c)) / bend));
}
