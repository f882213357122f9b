// Brings sound of any sample rate to the one rate at which the ear works.
import type { SampleRate, Samples } from '../units.ts';

/** Half the CD rate: a guitar's pitches and the bite of its strings lie below 10 kHz. */
export const EAR_RATE: SampleRate = 22_050;

/** Zero crossings of the windowed sinc on each side, at the lower of the two rates. */
const CROSSINGS = 12;
/** The filter starts to close at this share of the lower Nyquist frequency. */
const PASS = 0.92;
/** Tabulated points for each input sample's distance; linear interpolation between them errs below −70 dB. */
const STEPS = 256;

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
  const kernel = sincTable(Math.min(1, 1 / step) * PASS, reach);
  let held: Float32Array = new Float32Array(reach);
  /** Input position of `held[0]`, and number of samples given out. */
  let origin = -reach;
  let given = 0;
  const push = (block: Float32Array): Float32Array => {
    held = joined(held, block);
    const last = origin + held.length - 1 - reach;
    const count = Math.max(0, Math.floor(last / step) + 1 - given);
    const out = new Float32Array(count);
    for (let k = 0; k < count; k++) out[k] = at(held, (given + k) * step - origin, kernel, reach);
    given += count;
    const drop = Math.max(0, Math.floor(given * step) - reach - origin);
    held = held.slice(drop);
    origin += drop;
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

/** Half of a Hann-windowed sinc, `STEPS` points to the input sample. `cut` is the pass band, 1 = input Nyquist. */
function sincTable(cut: number, reach: number): Float64Array {
  return Float64Array.from({ length: reach * STEPS + 2 }, (_, i) => {
    const x = i / STEPS;
    if (x >= reach) return 0;
    const sinc = x === 0 ? cut : Math.sin(Math.PI * cut * x) / (Math.PI * x);
    return sinc * (0.5 + 0.5 * Math.cos((Math.PI * x) / reach));
  });
}

function at(samples: Float32Array, position: number, kernel: Float64Array, reach: number): number {
  const first = Math.max(0, Math.ceil(position - reach));
  const last = Math.min(samples.length - 1, Math.floor(position + reach));
  let sum = 0;
  for (let i = first; i <= last; i++) {
    const x = Math.abs(i - position) * STEPS;
    const whole = Math.floor(x);
    const low = kernel[whole]!;
    sum += samples[i]! * (low + (x - whole) * (kernel[whole + 1]! - low));
  }
  return sum;
}
