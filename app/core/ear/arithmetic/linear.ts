// Linear maps on one stretch of memory, and what the network applies to its numbers there.
import { type Arithmetic, arithmeticFor, BLOCK, type Numbers } from './multiply.ts';

/** Weights and biases of a map as they lie in the memory; outputs are filled up to whole blocks. */
export interface Linear {
  readonly inputs: number;
  readonly outputs: number;
  readonly weights: number;
  readonly bias: number;
}

/** Rows of numbers that a map reads or fills, one every `stride`. */
export interface Rows {
  readonly at: number;
  readonly stride: number;
}

/** The memory of a network or filter: maps and rooms are laid out once, and nothing is made anew while it listens. */
export interface Desk {
  readonly numbers: Numbers;
  /** Where `length` numbers have room. @throws RangeError where the desk is full. */
  room(length: number): number;
  /** @param weights By output row. */
  map(weights: Float64Array, bias: Float64Array): Linear;
  /** Room for a map whose weights are laid by {@link layWeights}. */
  emptyMap(inputs: number, outputs: number): Linear;
  apply(map: Linear, from: Rows, to: Rows, rows: number, more?: Applying): void;
}

export interface Applying {
  /** Takes the place of the map's own. */
  readonly bias?: number;
  /** Negative results become 0. */
  readonly rectified?: true;
}

const wholeBlocks = (outputs: number): number => BLOCK * Math.ceil(outputs / BLOCK);

/** A desk of `length` numbers, which all rooms share; its methods throw a RangeError where they are too few. */
export function deskOf(
  length: number,
  { numbers, multiply }: Arithmetic = arithmeticFor(length),
): Desk {
  let taken = 0;
  const room = (size: number): number => {
    const at = taken;
    // Vectors are read fastest from places that four divides.
    taken += 4 * Math.ceil(size / 4);
    if (taken > numbers.length) throw new RangeError(`deskOf: ${length} numbers are too few`);
    return at;
  };
  const emptyMap = (inputs: number, outputs: number): Linear => {
    const width = wholeBlocks(outputs);
    return { inputs, outputs: width, weights: room(width * inputs), bias: room(width) };
  };
  return {
    numbers,
    room,
    emptyMap,
    map: (weights, bias) => {
      const inputs = weights.length / bias.length;
      const map = emptyMap(inputs, bias.length);
      for (let o = 0; o < bias.length; o++) {
        for (let i = 0; i < inputs; i++) {
          numbers[placeOf(map, o, i)] = weights[o * inputs + i]!;
        }
      }
      numbers.set(bias, map.bias);
      return map;
    },
    apply: (map, from, to, rows, { bias = map.bias, rectified } = {}) =>
      multiply({
        ...{ x: from.at, xStride: from.stride, weights: map.weights, bias },
        ...{ y: to.at, yStride: to.stride, rows, inputs: map.inputs, outputs: map.outputs },
        floor: rectified ? 0 : -Infinity,
      }),
  };
}

/** Where the weight from input to output lies. */
export const placeOf = ({ inputs, weights }: Linear, output: number, input: number): number =>
  weights + ((output - (output % BLOCK)) * inputs + input * BLOCK) + (output % BLOCK);

/** Each of `rows` rows of as many numbers as there are scales, an even count: to mean 0 and variance 1, then scaled and moved. */
export function normalize(
  n: Numbers,
  from: number,
  to: number,
  rows: number,
  [scale, shift]: readonly [Float64Array, Float64Array],
): void {
  const width = scale.length;
  for (let row = 0; row < rows; row++) {
    const at = from + row * width;
    // Two sums of each kind side by side: one alone would wait for each addition.
    let even = 0;
    let odd = 0;
    let evenSquares = 0;
    let oddSquares = 0;
    for (let i = at; i < at + width; i += 2) {
      const a = n[i]!;
      const b = n[i + 1]!;
      even += a;
      odd += b;
      evenSquares += a * a;
      oddSquares += b * b;
    }
    const mean = (even + odd) / width;
    const variance = Math.max(0, (evenSquares + oddSquares) / width - mean * mean);
    const by = 1 / Math.sqrt(variance + 1e-5);
    const out = to + row * width;
    for (let i = 0; i < width; i++) n[out + i] = (n[at + i]! - mean) * by * scale[i]! + shift[i]!;
  }
}

/** In place: `length` positive numbers that sum to 1. */
export function softmax(n: Numbers, at: number, length: number): void {
  let most = -Infinity;
  for (let i = at; i < at + length; i++) if (n[i]! > most) most = n[i]!;
  let sum = 0;
  for (let i = at; i < at + length; i++) sum += n[i] = exponential(n[i]! - most);
  const by = 1 / sum;
  for (let i = at; i < at + length; i++) n[i]! *= by;
}

/** Powers of two from 2^−64 up to 1. */
const HALVINGS = Float64Array.from({ length: 65 }, (_, k) => 2 ** (k - 64));

/**
 * e^x for x ≤ 0, within 2 · 10^−7 of it in proportion, 0 below 2^−64: a power of two times the series for what is left.
 * The platform's own takes three times as long, and the network asks for seventy thousand a look.
 */
export function exponential(x: number): number {
  const halvings = x * Math.LOG2E;
  const whole = (halvings - 0.5) | 0;
  if (whole < -64) return 0;
  const r = (halvings - whole) * Math.LN2;
  const rr = r * r;
  const series = 1 + r + rr * (1 / 2 + r / 6 + rr * (1 / 24 + r * (1 / 120) + rr * (1 / 720)));
  return series * HALVINGS[whole + 64]!;
}
