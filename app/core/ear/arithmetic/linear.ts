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

/** Each of `rows` rows of as many numbers as there are scales: to mean 0 and variance 1, then scaled and moved. */
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
    let mean = 0;
    for (let i = 0; i < width; i++) mean += n[at + i]!;
    mean /= width;
    let variance = 0;
    for (let i = 0; i < width; i++) variance += (n[at + i]! - mean) ** 2;
    const by = 1 / Math.sqrt(variance / width + 1e-5);
    const out = to + row * width;
    for (let i = 0; i < width; i++) n[out + i] = (n[at + i]! - mean) * by * scale[i]! + shift[i]!;
  }
}

/** In place: `length` positive numbers that sum to 1. */
export function softmax(n: Numbers, at: number, length: number): void {
  let most = -Infinity;
  for (let i = at; i < at + length; i++) if (n[i]! > most) most = n[i]!;
  let sum = 0;
  for (let i = at; i < at + length; i++) sum += n[i] = Math.exp(n[i]! - most);
  for (let i = at; i < at + length; i++) n[i]! /= sum;
}
