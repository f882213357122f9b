// The part of the network that says when the first string began: convolutions over the fast frames, told what is due.
import { apply, linearOf, rectify, softmax, type Linear } from './linear.ts';
import { FAST, type Patch, PITCHES, SLOW, slowPlace } from './shape.ts';

export interface Beginning {
  /**
   * @param seen What each pitch sees of each slow frame. @param chord The chord's token.
   * @returns Weights of the beginning over the fast frames, and of none; they sum to 1.
   */
  find(seen: Float64Array, chord: Float64Array, patch: Patch, due: Uint8Array): Float64Array;
}

/** Frames that one convolution looks at. */
const TAPS = 5;

export function beginningOf(
  of: (name: string) => Float64Array,
  linear: (name: string) => Linear,
): Beginning {
  const reduce = linear('reduce');
  const context = linear('context');
  const first = convolution(of('onset1.weight'), of('onset1.bias'), 1);
  const second = convolution(of('onset2.weight'), of('onset2.bias'), 2);
  const third = convolution(of('onset3.weight'), of('onset3.bias'), 4);
  const when = linear('when');
  const never = linear('never');
  const width = when.inputs;
  return {
    find: (seen, chord, patch, due) => {
      const x = inputOf(coarse(reduce, seen, due, patch.frames), patch);
      const y = first(x);
      const told = new Float64Array(width);
      apply(context, chord, told, 1);
      for (let i = 0; i < y.length; i++) y[i]! += told[i % width]!;
      rectify(y);
      for (const more of [second, third]) {
        const added = more(y);
        for (let i = 0; i < y.length; i++) if (added[i]! > 0) y[i]! += added[i]!;
      }
      const weights = new Float64Array(FAST.frames + 1);
      apply(when, y, weights, FAST.frames);
      apply(never, chord, weights, 1, never.inputs, 0, FAST.frames);
      softmax(weights, weights.length);
      return weights;
    },
  };
}

/** Of the pitches that are due and of all: what they see, reduced; and whether the frame belongs to the change. */
function coarse(reduce: Linear, seen: Float64Array, due: Uint8Array, frames: number): Float64Array {
  const c1 = reduce.inputs;
  const sums = new Float64Array(2 * SLOW.frames * c1);
  const all = SLOW.frames * c1;
  for (let p = 0; p < PITCHES; p++) {
    for (let i = 0; i < all; i++) sums[all + i]! += seen[p * all + i]!;
    if (due[p]) for (let i = 0; i < all; i++) sums[i]! += seen[p * all + i]!;
  }
  const count = due.reduce((sum, mark) => sum + mark, 0);
  const plain = linearOf(reduce.weights, new Float64Array(reduce.outputs));
  const reduced = new Float64Array(2 * SLOW.frames * reduce.outputs);
  apply(plain, sums, reduced, 2 * SLOW.frames);
  const channels = 2 * reduce.outputs + 1;
  const out = new Float64Array(SLOW.frames * channels);
  for (let f = 0; f < SLOW.frames; f++) {
    for (let c = 0; c < reduce.outputs; c++) {
      const wanted = reduced[f * reduce.outputs + c]! + count * reduce.bias[c]!;
      const rest = reduced[(SLOW.frames + f) * reduce.outputs + c]!;
      out[f * channels + c] = wanted / (count + 1e-3);
      out[f * channels + reduce.outputs + c] = rest / PITCHES + reduce.bias[c]!;
    }
    out[f * channels + channels - 1] = f < frames ? 1 : 0;
  }
  return out;
}

const PLACES = Array.from({ length: FAST.frames }, (_, i) => slowPlace(i));

/** The fast frames, each with what the slow ones say around it. */
function inputOf(slow: Float64Array, { fast }: Patch): Float64Array {
  const channels = slow.length / SLOW.frames;
  const size = FAST.channels + channels;
  const input = new Float64Array(FAST.frames * size);
  PLACES.forEach(({ frame, share }, i) => {
    for (let c = 0; c < FAST.channels; c++) input[i * size + c] = fast[i * FAST.channels + c]!;
    for (let c = 0; c < channels; c++) {
      const [a, b] = [slow[frame * channels + c]!, slow[(frame + 1) * channels + c]!];
      input[i * size + FAST.channels + c] = a + share * (b - a);
    }
  });
  return input;
}

/** Over frames of numbers, zeros outside, as long as it was. Weights come as [output][input][tap]. */
function convolution(weights: Float64Array, bias: Float64Array, dilation: number) {
  const outputs = bias.length;
  const inputs = weights.length / outputs / TAPS;
  const byTap = new Float64Array(weights.length);
  for (let o = 0; o < outputs; o++) {
    for (let i = 0; i < inputs; i++) {
      for (let t = 0; t < TAPS; t++) {
        byTap[(o * TAPS + t) * inputs + i] = weights[(o * inputs + i) * TAPS + t]!;
      }
    }
  }
  const map = linearOf(byTap, bias);
  const reach = ((TAPS - 1) / 2) * dilation;
  return (x: Float64Array): Float64Array => {
    const frames = x.length / inputs;
    const row = new Float64Array(frames * TAPS * inputs);
    for (let f = 0; f < frames; f++) {
      for (let t = 0; t < TAPS; t++) {
        const from = f + t * dilation - reach;
        if (from < 0 || from >= frames) continue;
        row.set(x.subarray(from * inputs, (from + 1) * inputs), (f * TAPS + t) * inputs);
      }
    }
    const y = new Float64Array(frames * outputs);
    apply(map, row, y, frames);
    return y;
  };
}
