// Power spectra of windowed frames on the library fft.js, and the slower streams from which low tones are read.
import FFT from 'fft.js';
import type { Samples } from '../base/units.ts';

/** Of a frame under a Hann window, padded with zeros: power at each line. The array is reused by the next call. */
export type PowerOf = (samples: Float32Array, from: Samples) => Float64Array;

/**
 * @param width Samples of the window, a power of two. @param size Samples of the transform, 4 at least.
 * A sine of amplitude 1 has power 1/4 at its line. Samples outside count as silence.
 */
export function powerSpectrum(width: Samples, size: Samples): PowerOf {
  const half = size / 2;
  // Even and odd samples as one complex sequence: a transform of half the size serves.
  const fft = new FFT(half);
  const window = Float64Array.from({ length: width }, (_, i) => {
    return (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / width)) / (width / 2);
  });
  const turns = turnsOf(size);
  const pairs = new Float64Array(size);
  const out = new Float64Array(size);
  const power = new Float64Array(half + 1);
  return (samples, from) => {
    if (from >= 0 && from + width <= samples.length) {
      for (let i = 0; i < width; i++) pairs[i] = samples[from + i]! * window[i]!;
    } else {
      for (let i = 0; i < width; i++) pairs[i] = (samples[from + i] ?? 0) * window[i]!;
    }
    fft.transform(out, pairs);
    parted(out, turns, power);
    return power;
  };
}

/** Cosine and sine of each line's turn from one sample to the next, up to a quarter of a circle. */
function turnsOf(size: Samples): Float64Array {
  const turns = new Float64Array(size / 2 + 2);
  for (let k = 0; k <= size / 4; k++) {
    const angle = (2 * Math.PI * k) / size;
    turns[2 * k] = Math.cos(angle);
    turns[2 * k + 1] = Math.sin(angle);
  }
  return turns;
}

/** From the transform z of the pairs to the powers of the sequence itself: even and odd samples are parted, line by line. */
function parted(z: Float64Array, turns: Float64Array, power: Float64Array): void {
  const half = power.length - 1;
  power[0] = (z[0]! + z[1]!) ** 2;
  power[half] = (z[0]! - z[1]!) ** 2;
  for (let k = 1; k <= half / 2; k++) {
    const a = 2 * k;
    const b = 2 * (half - k);
    const evenRe = (z[a]! + z[b]!) / 2;
    const evenIm = (z[a + 1]! - z[b + 1]!) / 2;
    const oddRe = (z[a + 1]! + z[b + 1]!) / 2;
    const oddIm = (z[b]! - z[a]!) / 2;
    const turnedRe = oddRe * turns[a]! + oddIm * turns[a + 1]!;
    const turnedIm = oddIm * turns[a]! - oddRe * turns[a + 1]!;
    power[k] = (evenRe + turnedRe) ** 2 + (evenIm + turnedIm) ** 2;
    power[half - k] = (evenRe - turnedRe) ** 2 + (evenIm - turnedIm) ** 2;
  }
}

/** Takes every fourth sample after a low pass, in step with the samples that come. */
export interface Quarter {
  readonly samples: Float32Array;
  /** Filled so far. */
  readonly length: Samples;
  advance(samples: Float32Array, length: Samples): void;
}

/** A quarter of the rate: passes 36 % of the new rate, and 70 dB less of what would fold back there. */
const TAPS = 65;
const MIDDLE = (TAPS - 1) / 2;
const KAISER = 6.76;

/** Takes a sound that grows, and keeps it at a quarter of its rate. */
export function quarterOf(): Quarter {
  const taps = lowPass();
  let held = new Float32Array(4096);
  let made: Samples = 0;
  return {
    get samples() {
      return held;
    },
    get length() {
      return made;
    },
    advance: (samples, length) => {
      for (; 4 * made + MIDDLE < length; made++) {
        if (made === held.length) held = grown(held, 2 * made);
        held[made] = weighed(samples, 4 * made - MIDDLE, taps);
      }
    },
  };
}

/** Samples before the first count as silence. */
function weighed(samples: Float32Array, from: Samples, taps: Float64Array): number {
  let i = Math.max(0, -from);
  // Two sums side by side: one alone would wait for each addition.
  let [even, odd] = [0, 0];
  for (; i + 1 < TAPS; i += 2) {
    even += taps[i]! * samples[from + i]!;
    odd += taps[i + 1]! * samples[from + i + 1]!;
  }
  return i < TAPS ? even + odd + taps[i]! * samples[from + i]! : even + odd;
}

/** The samples, and silence behind them. @param length at least as many as there are */
function grown(samples: Float32Array, length: Samples): Float32Array<ArrayBuffer> {
  const larger = new Float32Array(length);
  larger.set(samples);
  return larger;
}

/** A sinc that closes at an eighth of the rate, under a Kaiser window. */
function lowPass(): Float64Array {
  const taps = Float64Array.from({ length: TAPS }, (_, i) => {
    const x = i - MIDDLE;
    const sinc = x === 0 ? 0.25 : Math.sin(Math.PI * 0.25 * x) / (Math.PI * x);
    return sinc * bessel(KAISER * Math.sqrt(1 - (x / (MIDDLE + 1)) ** 2));
  });
  const sum = taps.reduce((a, b) => a + b, 0);
  return taps.map((tap) => tap / sum);
}

/** Modified Bessel function of order 0, by its series. */
function bessel(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; k < 30; k++) sum += term *= (x / (2 * k)) ** 2;
  return sum;
}
