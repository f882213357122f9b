// The part of the network that says when the first string began: convolutions over the fast frames, told what is due.
import { type Desk, type Linear, softmax } from '../arithmetic/linear.ts';
import { FAST, type Patch, PITCHES, SLOW, slowPlace } from './shape.ts';

export interface Beginning {
  /**
   * @param seen Where it lies what each pitch sees of each slow frame. @param chord Where the chord's token lies.
   * @returns Weights of the beginning over the fast frames, and of none; they sum to 1.
   */
  find(seen: number, chord: number, patch: Patch, due: Uint8Array): Float64Array;
}

/** Frames that one convolution looks at; every one after the first looks at frames twice as far apart. */
const TAPS = 5;
const LAYERS = 4;
const PLACES = Array.from({ length: FAST.frames }, (_, i) => slowPlace(i));

/**
 * Reads the weights of this part. @param of by name, as the file has them. @param linear of those, a map laid out on
 * `desk`
 */
export function beginningOf(
  of: (name: string) => Float64Array,
  linear: (name: string) => Linear,
  desk: Desk,
): Beginning {
  const { numbers: n } = desk;
  const coarse = coarseOf(linear('reduce'), desk);
  const context = linear('context');
  const inputs = FAST.channels + coarse.channels;
  const [first, ...wider] = Array.from({ length: LAYERS }, (_, k) =>
    convolution(of(`onset${k + 1}.weight`), of(`onset${k + 1}.bias`), 2 ** k, desk),
  );
  const [when, never] = [linear('when'), linear('never')];
  const width = when.inputs;
  const x = desk.room(FAST.frames * inputs);
  const [y, added] = [desk.room(FAST.frames * width), desk.room(FAST.frames * width)];
  const told = desk.room(context.outputs);
  const said = desk.room(FAST.frames * when.outputs);
  const ended = desk.room(never.outputs);

  /** The fast frames, each with what the slow ones say around it. */
  const lay = ({ fast }: Patch): void => {
    PLACES.forEach(({ frame, share }, i) => {
      const to = x + i * inputs;
      n.set(fast.subarray(i * FAST.channels, (i + 1) * FAST.channels), to);
      for (let c = 0; c < coarse.channels; c++) {
        const a = n[coarse.at + frame * coarse.channels + c]!;
        const b = n[coarse.at + (frame + 1) * coarse.channels + c]!;
        n[to + FAST.channels + c] = a + share * (b - a);
      }
    });
  };
  return {
    find: (seen, chord, patch, due) => {
      coarse.fill(seen, due, patch.frames);
      lay(patch);
      first!(x, y);
      desk.apply(context, { at: chord, stride: 0 }, { at: told, stride: 0 }, 1);
      for (let i = 0; i < FAST.frames * width; i++) {
        n[y + i] = Math.max(0, n[y + i]! + n[told + (i % width)]!);
      }
      for (const more of wider) {
        more(y, added, { rectified: true });
        for (let i = 0; i < FAST.frames * width; i++) n[y + i]! += n[added + i]!;
      }
      const spoken = { at: said, stride: when.outputs };
      desk.apply(when, { at: y, stride: width }, spoken, FAST.frames);
      desk.apply(never, { at: chord, stride: 0 }, { at: ended, stride: 0 }, 1);
      for (let f = 0; f < FAST.frames; f++) n[x + f] = n[said + f * when.outputs]!;
      n[x + FAST.frames] = n[ended]!;
      softmax(n, x, FAST.frames + 1);
      return Float64Array.from(n.subarray(x, x + FAST.frames + 1));
    },
  };
}

/** Of the pitches that are due and of all: what they see, reduced; and whether the frame belongs to the change. */
function coarseOf(reduce: Linear, desk: Desk) {
  const { numbers: n } = desk;
  const seenBy = reduce.inputs;
  const all = SLOW.frames * seenBy;
  const sums = desk.room(2 * all);
  const reduced = desk.room(2 * SLOW.frames * reduce.outputs);
  const none = desk.room(reduce.outputs);
  const channels = 2 * reduce.outputs + 1;
  const at = desk.room(SLOW.frames * channels);
  return {
    at,
    channels,
    fill: (seen: number, due: Uint8Array, frames: number): void => {
      n.fill(0, sums, sums + 2 * all);
      for (let p = 0; p < PITCHES; p++) {
        const from = seen + p * all;
        for (let i = 0; i < all; i++) n[sums + all + i]! += n[from + i]!;
        if (due[p]) for (let i = 0; i < all; i++) n[sums + i]! += n[from + i]!;
      }
      const count = due.reduce((sum, mark) => sum + mark, 0);
      const to = { at: reduced, stride: reduce.outputs };
      desk.apply(reduce, { at: sums, stride: seenBy }, to, 2 * SLOW.frames, { bias: none });
      for (let f = 0; f < SLOW.frames; f++) {
        const out = at + f * channels;
        for (let c = 0; c < reduce.outputs; c++) {
          const bias = n[reduce.bias + c]!;
          const wanted = n[reduced + f * reduce.outputs + c]!;
          const rest = n[reduced + (SLOW.frames + f) * reduce.outputs + c]!;
          n[out + c] = (wanted + count * bias) / (count + 1e-3);
          n[out + reduce.outputs + c] = rest / PITCHES + bias;
        }
        n[out + channels - 1] = f < frames ? 1 : 0;
      }
    },
  };
}

/** Over frames of numbers, zeros outside, as long as it was. Weights come as [output][input][tap]. */
function convolution(weights: Float64Array, bias: Float64Array, dilation: number, desk: Desk) {
  const { numbers: n } = desk;
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
  const map = desk.map(byTap, bias);
  const reach = ((TAPS - 1) / 2) * dilation;
  const rows = { at: desk.room(FAST.frames * TAPS * inputs), stride: TAPS * inputs };
  return (x: number, y: number, more?: { readonly rectified: true }): void => {
    for (let f = 0; f < FAST.frames; f++) {
      for (let t = 0; t < TAPS; t++) {
        const from = f + t * dilation - reach;
        if (from < 0 || from >= FAST.frames) continue;
        const at = x + from * inputs;
        n.copyWithin(rows.at + (f * TAPS + t) * inputs, at, at + inputs);
      }
    }
    desk.apply(map, rows, { at: y, stride: outputs }, FAST.frames, more);
  };
}
