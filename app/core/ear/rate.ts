// Brings sound of any sample rate to the one rate at which the ear works.
import type { SampleRate, Samples } from '../base/units.ts';
import { deskOf, type Linear, placeOf } from './arithmetic/linear.ts';
import { BLOCK, type Numbers } from './arithmetic/multiply.ts';

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
  const filter = filterFor(rate);
  const { reach } = filter;
  let held: Float32Array = new Float32Array(reach);
  /** Input position of `held[0]`, and number of samples given out. */
  let origin = -reach;
  let given = 0;
  const push = (block: Float32Array): Float32Array => {
    held = joined(held, block);
    const last = origin + held.length - 1 - reach;
    const out = new Float32Array(Math.max(0, Math.floor((last * EAR_RATE) / rate) + 1 - given));
    for (let done = 0; done < out.length;) {
      const first = given - (given % BLOCK);
      const eight = filter.eight(first, held, origin);
      const from = given - first;
      const to = Math.min(BLOCK, from + out.length - done);
      for (let i = from; i < to; i++) out[done++] = eight[i]!;
      given = first + to;
    }
    const next = given - (given % BLOCK);
    const drop = Math.floor((next * rate) / EAR_RATE) - reach - origin;
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

/** Both, one after the other, in a new array. */
export function joined(a: Float32Array, b: Float32Array): Float32Array {
  const out = new Float32Array(a.length + b.length);
  out.set(a);
  out.set(b, a.length);
  return out;
}

interface Filter {
  /** So many input samples to each side of an output sample have a share in it. */
  readonly reach: Samples;
  /**
   * Eight samples from the `first` on, which eight divides; right as far as `held`, whose first sample has the
   * number `origin`, reaches. The array is filled anew by the next call.
   */
  eight(first: Samples, held: Float32Array, origin: Samples): Numbers;
}

const filters = new Map<SampleRate, Filter>();

/** One for each rate: its weights are made once. */
function filterFor(rate: SampleRate): Filter {
  let filter = filters.get(rate);
  if (!filter) filters.set(rate, (filter = filterOf(rate)));
  return filter;
}

/** Most rates have 1 to 20 different eights, odd ones up to 2,000; rates that are no whole numbers have no end of them. */
const MOST_EIGHTS = 2000;

function eightsOf(rate: SampleRate): number {
  let [a, b] = [BLOCK * rate, EAR_RATE];
  while (b >= 1) [a, b] = [b, a % b];
  return Math.min(MOST_EIGHTS, Math.ceil(EAR_RATE / a));
}

function filterOf(rate: SampleRate): Filter {
  const step = rate / EAR_RATE;
  const reach = Math.ceil(CROSSINGS * Math.max(1, step));
  const cut = Math.min(1, 1 / step) * PASS;
  const inputs = 2 * reach + Math.ceil((BLOCK - 1) * step);
  const most = eightsOf(rate);
  const desk = deskOf((most + 2) * (inputs + 2) * BLOCK);
  const x = desk.room(inputs);
  const y = desk.room(BLOCK);
  const maps = Array.from({ length: most }, () => desk.emptyMap(inputs, BLOCK));
  const slots = new Map<number, Linear>();
  const eight = desk.numbers.subarray(y, y + BLOCK);

  /** By where the first of the eight lies between two input samples; the oldest one makes room. */
  const mapOf = (phase: number): Linear => {
    let map = slots.get(phase);
    if (map) return map;
    if (slots.size < most) map = maps[slots.size]!;
    else {
      const [oldest, taken] = slots.entries().next().value!;
      slots.delete(oldest);
      map = taken;
    }
    layTaps(desk.numbers, map, { phase, rate, cut, reach });
    slots.set(phase, map);
    return map;
  };
  return {
    reach,
    eight: (first, held, origin) => {
      const from = Math.floor((first * rate) / EAR_RATE) - reach + 1 - origin;
      const come = held.subarray(from, from + inputs);
      desk.numbers.set(come, x);
      desk.numbers.fill(0, x + come.length, x + inputs);
      const map = mapOf((first * rate) % EAR_RATE);
      desk.apply(map, { at: x, stride: 0 }, { at: y, stride: 0 }, 1);
      return eight;
    },
  };
}

interface Taps {
  /** Of the first output sample, in steps of which {@link EAR_RATE} make one input sample. */
  readonly phase: number;
  readonly rate: SampleRate;
  readonly cut: number;
  readonly reach: Samples;
}

function layTaps(n: Numbers, map: Linear, { phase, rate, cut, reach }: Taps): void {
  n.fill(0, map.weights, map.weights + map.inputs * BLOCK);
  for (let o = 0; o < BLOCK; o++) {
    const at = phase + o * rate;
    const whole = Math.floor(at / EAR_RATE);
    tapsFor(at / EAR_RATE - whole, cut, reach).forEach((tap, i) => {
      n[placeOf(map, o, whole + i)] = tap;
    });
  }
}

/** A Hann-windowed sinc; `cut` is the pass band, 1 = the input's Nyquist frequency. */
function tapsFor(share: number, cut: number, reach: number): Float64Array {
  return Float64Array.from({ length: 2 * reach }, (_, i) => {
    const x = i - reach + 1 - share;
    const sinc = x === 0 ? cut : Math.sin(Math.PI * cut * x) / (Math.PI * x);
    return Math.abs(x) >= reach ? 0 : sinc * (0.5 + 0.5 * Math.cos((Math.PI * x) / reach));
  });
}
