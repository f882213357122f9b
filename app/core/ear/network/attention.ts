// One layer of the network: every pitch looks at every other, with a liking for each interval, and thinks.
import { type Desk, type Linear, normalize, placeOf, softmax } from '../arithmetic/linear.ts';
import { PITCHES } from './shape.ts';
import type { Weights } from './weights.ts';

type Norm = readonly [Float64Array, Float64Array];

interface Layer {
  readonly norm1: Norm;
  readonly norm2: Norm;
  readonly qkv: Linear;
  readonly out: Linear;
  readonly up: Linear;
  readonly down: Linear;
  /** By head: liking of each token for each other, [from][to]. */
  readonly liking: readonly Float64Array[];
}

const HEADS = 4;
const PLACES = 2 * PITCHES + 2;
/** The chord's own token comes first. */
export const TOKENS = PITCHES + 1;

/** All layers, one after the other, change the tokens at a place in memory. */
export function attentionOf(
  weights: Weights,
  desk: Desk,
  linear: (name: string) => Linear,
): (tokens: number) => void {
  const layers: Layer[] = [];
  for (let k = 0; weights.has(`blocks.${k}.interval`); k++) {
    layers.push(layerOf(weights, linear, `blocks.${k}`));
  }
  const look = lookAround(desk, layers[0]!.out.inputs);
  const { numbers: n } = desk;
  const width = layers[0]!.out.inputs;
  const size = TOKENS * width;
  const normal = desk.room(size);
  const thought = desk.room(TOKENS * layers[0]!.up.outputs);
  const rows = (at: number, stride = width) => ({ at, stride });
  const add = (tokens: number): void => {
    for (let i = 0; i < size; i++) n[tokens + i]! += n[normal + i]!;
  };
  return (tokens) => {
    for (const layer of layers) {
      normalize(n, tokens, normal, TOKENS, layer.norm1);
      const mixed = look(layer, normal);
      desk.apply(layer.out, rows(mixed), rows(normal), TOKENS);
      add(tokens);
      normalize(n, tokens, normal, TOKENS, layer.norm2);
      const wide = rows(thought, layer.up.outputs);
      desk.apply(layer.up, rows(normal), wide, TOKENS, { rectified: true });
      desk.apply(layer.down, wide, rows(normal), TOKENS);
      add(tokens);
    }
  };
}

function layerOf(weights: Weights, linear: (name: string) => Linear, name: string): Layer {
  const norm = (of: string): Norm => [
    weights.get(`${name}.${of}.weight`)!,
    weights.get(`${name}.${of}.bias`)!,
  ];
  return {
    norm1: norm('norm1'),
    norm2: norm('norm2'),
    qkv: linear(`${name}.qkv`),
    out: linear(`${name}.out`),
    up: linear(`${name}.up`),
    down: linear(`${name}.down`),
    liking: likingOf(weights.get(`${name}.interval`)!),
  };
}

/** Stored by head for each interval from −(PITCHES − 1) up, then chord → chord, chord → pitch, pitch → chord. */
function likingOf(interval: Float64Array): Float64Array[] {
  return Array.from({ length: HEADS }, (_, head) =>
    Float64Array.from({ length: TOKENS * TOKENS }, (__, k) => {
      const place = intervalPlace(Math.floor(k / TOKENS), k % TOKENS);
      return interval[head * PLACES + place]!;
    }),
  );
}

function intervalPlace(i: number, j: number): number {
  if (i === 0) return j === 0 ? 2 * PITCHES - 1 : 2 * PITCHES;
  return j === 0 ? 2 * PITCHES + 1 : i - j + PITCHES - 1;
}

/** What each token takes from the others: queries meet keys, and the shares mix the values. */
function lookAround(desk: Desk, width: number): (layer: Layer, normal: number) => number {
  const { numbers: n } = desk;
  const size = width / HEADS;
  const stride = 3 * width;
  const qkv = desk.room(TOKENS * stride);
  const mixed = desk.room(TOKENS * width);
  const keys = desk.emptyMap(size, TOKENS);
  const values = desk.emptyMap(TOKENS, size);
  const shares = desk.room(TOKENS * keys.outputs);
  const nearness = 1 / Math.sqrt(size);

  const lay = (head: number): void => {
    for (let j = 0; j < TOKENS; j++) {
      const key = qkv + j * stride + width + head * size;
      for (let k = 0; k < size; k++) {
        n[placeOf(keys, j, k)] = nearness * n[key + k]!;
        n[placeOf(values, k, j)] = n[key + width + k]!;
      }
    }
  };
  return ({ qkv: map, liking }, normal) => {
    desk.apply(map, { at: normal, stride: width }, { at: qkv, stride }, TOKENS);
    for (let head = 0; head < HEADS; head++) {
      lay(head);
      const shared = { at: shares, stride: keys.outputs };
      desk.apply(keys, { at: qkv + head * size, stride }, shared, TOKENS);
      const likes = liking[head]!;
      for (let i = 0; i < TOKENS; i++) {
        const row = shares + i * keys.outputs;
        for (let j = 0; j < TOKENS; j++) n[row + j]! += likes[i * TOKENS + j]!;
        softmax(n, row, TOKENS);
      }
      desk.apply(values, shared, { at: mixed + head * size, stride: width }, TOKENS);
    }
    return mixed;
  };
}
