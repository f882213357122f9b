// One layer of the network: every pitch looks at every other, with a liking for each interval, and thinks.
import { apply, dot, normalize, rectify, softmax, type Linear } from './linear.ts';
import { PITCHES } from './shape.ts';

export interface Layer {
  readonly norm1: readonly [Float64Array, Float64Array];
  readonly norm2: readonly [Float64Array, Float64Array];
  readonly qkv: Linear;
  readonly out: Linear;
  readonly up: Linear;
  readonly down: Linear;
  /** By head: liking for each interval from −(PITCHES − 1) up, then chord → pitch, pitch → chord; {@link placeOf}. */
  readonly interval: Float64Array;
}

const HEADS = 4;
const PLACES = 2 * PITCHES + 2;
/** The chord's own token comes first. */
const TOKENS = PITCHES + 1;

export function layersOf(
  of: (name: string) => Float64Array,
  linear: (name: string) => Linear,
): Layer[] {
  const layers: Layer[] = [];
  for (let k = 0; ; k++) {
    const name = `blocks.${k}`;
    try {
      of(`${name}.interval`);
    } catch {
      return layers;
    }
    layers.push({
      norm1: [of(`${name}.norm1.weight`), of(`${name}.norm1.bias`)],
      norm2: [of(`${name}.norm2.weight`), of(`${name}.norm2.bias`)],
      qkv: linear(`${name}.qkv`),
      out: linear(`${name}.out`),
      up: linear(`${name}.up`),
      down: linear(`${name}.down`),
      interval: of(`${name}.interval`),
    });
  }
}

function placeOf(i: number, j: number): number {
  if (i === 0) return j === 0 ? 2 * PITCHES - 1 : 2 * PITCHES;
  return j === 0 ? 2 * PITCHES + 1 : i - j + PITCHES - 1;
}

/** Changes the tokens in place. */
export function attend(layer: Layer, tokens: Float64Array): void {
  const width = layer.out.inputs;
  const normal = new Float64Array(TOKENS * width);
  normalize(tokens, normal, TOKENS, ...layer.norm1);
  const qkv = new Float64Array(TOKENS * 3 * width);
  apply(layer.qkv, normal, qkv, TOKENS);
  const mixed = lookAround(layer, qkv, width);
  apply(layer.out, mixed, normal, TOKENS);
  for (let i = 0; i < tokens.length; i++) tokens[i]! += normal[i]!;
  normalize(tokens, normal, TOKENS, ...layer.norm2);
  const thought = new Float64Array(TOKENS * layer.up.outputs);
  apply(layer.up, normal, thought, TOKENS);
  rectify(thought);
  apply(layer.down, thought, normal, TOKENS);
  for (let i = 0; i < tokens.length; i++) tokens[i]! += normal[i]!;
}

function lookAround({ interval }: Layer, qkv: Float64Array, width: number): Float64Array {
  const mixed = new Float64Array(TOKENS * width);
  const size = width / HEADS;
  const share = new Float64Array(TOKENS);
  for (let head = 0; head < HEADS; head++) {
    const at = head * size;
    for (let i = 0; i < TOKENS; i++) {
      const query = i * 3 * width + at;
      for (let j = 0; j < TOKENS; j++) {
        const likeness = dot(qkv, query, qkv, (j * 3 + 1) * width + at, size) / Math.sqrt(size);
        share[j] = likeness + interval[head * PLACES + placeOf(i, j)]!;
      }
      softmax(share, TOKENS);
      const to = i * width + at;
      for (let j = 0; j < TOKENS; j++) {
        const value = (j * 3 + 2) * width + at;
        for (let k = 0; k < size; k++) mixed[to + k]! += share[j]! * qkv[value + k]!;
      }
    }
  }
  return mixed;
}
