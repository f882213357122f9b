// Brings sound of any sample rate to the one rate at which the ear works.
import type { SampleRate, Samples } from '../base/units.ts';

/** A guitar’s pitches and the bite of its strings lie below 8 kHz. */
export const EAR_RATE: SampleRate = 16_000;

/** Zero crossings of the windowed sinc on each side, at the lower of the two rates. */
const CROSSINGS = 12;
/** The filter starts to close at this share of the lower Nyquist frequency. */
const PASS = 0.92;
/** Takes blocks of sound at `rate` and gives them back at {@link EAR_RATE}, without shift in time. */
export interface Resampler {
  /** Whatever can be computed so far; the last few samples wait for the next block. */
  push(block: Float32Array): Float32Array;
  /** How much sound goes in before its first sample comes out. */
  readonly delay: Samples;
}

/** @throws RangeError unless 8,000 ≤ rate ≤ 192,000. */
export function resampler(rate: SampleRate): Resampler {
  if (!(rate >= 8_000 && rate <= 192_000)) {
    throw new RangeError(`resampler: ${rate} Hz is not a sample rate from 8,000 to 192,000`);
  }
  const step = rate / EAR_RATE;
  const reach = Math.ceil(CROSSINGS * Math.max(1, step));
  const tapsAt = phases(rate, Math.min(1, 1 / step) * PASS, reach);
  let held: Float32Array = new Float32Array(reach);
  /** Input position of `held[0]`, and number of samples given out. */
  let origin = -reach;
  let given = 0;
  const push = (block: Float32Array): Float32Array => {
    held = joined(held, block);
    const last = origin + held.length - 1 - reach;
    const out = new Float32Array(Math.max(0, Math.floor((last * EAR_RATE) / rate) + 1 - given));
    for (let k = 0; k < out.length; k++, given++) {
      const whole = Math.floor((given * rate) / EAR_RATE);
      out[k] = weighted(held, whole - reach + 1 - origin, tapsAt(given));
    }
    const drop = Math.floor((given * rate) / EAR_RATE) - reach - origin;
    if (drop > 0) {
      held = held.slice(drop);
      origin += drop;
    }
    return out;
  };
  return { push, delay: reach };
}

/** A whole recording at once. */
export function resampled(samples: Float32Array, rate: SampleRate): Float32Array {
  const machine = resampler(rate);
  const first = machine.push(samples);
  return joined(first, machine.push(new Float32Array(machine.delay)));
}

export function joined(a: Float32Array, b: Float32Array): Float32Array {
  const out = new Float32Array(a.length + b.length);
  out.set(a);
  out.set(b, a.length);
  return out;
}

/** Weights for each place between two input samples at which an output sample can fall; made when first met. */
function phases(rate: SampleRate, cut: number, reach: number): (k: number) => Float64Array {
  const made = new Map<number, Float64Array>();
  return (k) => {
    const phase = (k * rate) % EAR_RATE;
    let taps = made.get(phase);
    if (!taps) made.set(phase, (taps = tapsFor(phase / EAR_RATE, cut, reach)));
    return taps;
  };
}

/** A Hann-windowed sinc; `cut` is the pass band, 1 = the input's Nyquist frequency. */
function tapsFor(share: number, cut: number, reach: number): Float64Array {
  return Float64Array.from({ length: 2 * reach }, (_, i) => {
    const x = i - reach + 1 - share;
    const sinc = x === 0 ? cut : Math.sin(Math.PI * cut * x) / (Math.PI * x);
    return Math.abs(x) >= reach ? 0 : sinc * (0.5 + 0.5 * Math.cos((Math.PI * x) / reach));
  });
}

function weighted(samples: Float32Array, from: number, taps: Float64Array): number {
  // Four sums side by side: one alone would wait for each addition.
  let [a, b, c, d] = [0, 0, 0, 0];
  let i = 0;
  for (; i + 4 <= taps.length; i += 4) {
    a += taps[i]! * samples[from + i]!;
    b += taps[i + 1]! * samples[from + i + 1]!;
    c += taps[i + 2]! * samples[from + i + 2]!;
    d += taps[i + 3]! * samples[from + i + 3]!;
  }
  for (; i < taps.length; i++) a += taps[i]! * samples[from + i]!;
  return a + b + (c + d);
}
