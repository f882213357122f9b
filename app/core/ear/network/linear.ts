// The arithmetic of the network: linear maps over rows of numbers, norms, and what is applied to each number.

/** Weights by output row, and one bias for each output. */
export interface Linear {
  readonly inputs: number;
  readonly outputs: number;
  readonly weights: Float64Array;
  readonly bias: Float64Array;
}

export function linearOf(weights: Float64Array, bias: Float64Array): Linear {
  const outputs = bias.length;
  return { inputs: weights.length / outputs, outputs, weights, bias };
}

/**
 * For each of `rows` rows: y[y0 + row·outputs + o] = bias[o] + Σ w[o][i] · x[x0 + row·stride + i]. Two rows and four
 * outputs at a time, so that every number that is read is used more than once.
 */
export function apply(
  { inputs, outputs, weights: w, bias }: Linear,
  x: Float64Array,
  y: Float64Array,
  rows: number,
  stride = inputs,
  x0 = 0,
  y0 = 0,
): void {
  let row = 0;
  for (; row + 2 <= rows; row += 2) {
    const a = x0 + row * stride;
    const b = a + stride;
    const ya = y0 + row * outputs;
    const yb = ya + outputs;
    let o = 0;
    for (; o + 4 <= outputs; o += 4) {
      const w0 = o * inputs;
      const w1 = w0 + inputs;
      const w2 = w1 + inputs;
      const w3 = w2 + inputs;
      let [a0, a1, a2, a3] = [bias[o]!, bias[o + 1]!, bias[o + 2]!, bias[o + 3]!];
      let [b0, b1, b2, b3] = [a0, a1, a2, a3];
      for (let i = 0; i < inputs; i++) {
        const xa = x[a + i]!;
        const xb = x[b + i]!;
        const v0 = w[w0 + i]!;
        const v1 = w[w1 + i]!;
        const v2 = w[w2 + i]!;
        const v3 = w[w3 + i]!;
        a0 += v0 * xa;
        a1 += v1 * xa;
        a2 += v2 * xa;
        a3 += v3 * xa;
        b0 += v0 * xb;
        b1 += v1 * xb;
        b2 += v2 * xb;
        b3 += v3 * xb;
      }
      y[ya + o] = a0;
      y[ya + o + 1] = a1;
      y[ya + o + 2] = a2;
      y[ya + o + 3] = a3;
      y[yb + o] = b0;
      y[yb + o + 1] = b1;
      y[yb + o + 2] = b2;
      y[yb + o + 3] = b3;
    }
    for (; o < outputs; o++) {
      y[ya + o] = dot(w, o * inputs, x, a, inputs) + bias[o]!;
      y[yb + o] = dot(w, o * inputs, x, b, inputs) + bias[o]!;
    }
  }
  for (; row < rows; row++) {
    for (let o = 0; o < outputs; o++) {
      const sum = dot(w, o * inputs, x, x0 + row * stride, inputs);
      y[y0 + row * outputs + o] = sum + bias[o]!;
    }
  }
}

export function dot(
  a: Float64Array,
  a0: number,
  b: Float64Array,
  b0: number,
  length: number,
): number {
  // Two sums side by side: one alone would wait for each addition.
  let [even, odd] = [0, 0];
  let i = 0;
  for (; i + 2 <= length; i += 2) {
    even += a[a0 + i]! * b[b0 + i]!;
    odd += a[a0 + i + 1]! * b[b0 + i + 1]!;
  }
  if (i < length) even += a[a0 + i]! * b[b0 + i]!;
  return even + odd;
}

/** Negative numbers become 0. */
export function rectify(x: Float64Array, length = x.length): void {
  for (let i = 0; i < length; i++) if (x[i]! < 0) x[i] = 0;
}

/** Each row of `width` numbers to mean 0 and variance 1, then scaled and moved. */
export function normalize(
  x: Float64Array,
  y: Float64Array,
  rows: number,
  scale: Float64Array,
  shift: Float64Array,
): void {
  const width = scale.length;
  for (let row = 0; row < rows; row++) {
    const at = row * width;
    let mean = 0;
    for (let i = 0; i < width; i++) mean += x[at + i]!;
    mean /= width;
    let variance = 0;
    for (let i = 0; i < width; i++) variance += (x[at + i]! - mean) ** 2;
    const by = 1 / Math.sqrt(variance / width + 1e-5);
    for (let i = 0; i < width; i++) y[at + i] = (x[at + i]! - mean) * by * scale[i]! + shift[i]!;
  }
}

/** In place: positive numbers that sum to 1. */
export function softmax(x: Float64Array, length: number): void {
  let most = -Infinity;
  for (let i = 0; i < length; i++) if (x[i]! > most) most = x[i]!;
  let sum = 0;
  for (let i = 0; i < length; i++) sum += x[i] = Math.exp(x[i]! - most);
  for (let i = 0; i < length; i++) x[i]! /= sum;
}
