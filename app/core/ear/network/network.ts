// The ear's network: says of each pitch whether it was struck, of the chord what is wrong, and when the first string began.
//
// One token for each pitch sees the harmonics of that pitch over time and whether it is due; the tokens share their
// weights and then look at each other. Trained by tests/bench/ear-training, which holds the same network in PyTorch.
import { attend, layersOf, type Layer } from './attention.ts';
import { beginningOf, type Beginning } from './beginning.ts';
import { apply, linearOf, normalize, rectify, type Linear } from './linear.ts';
import {
  FAST,
  LOWEST_PITCH,
  type Patch,
  PITCHES,
  type Score,
  SLICES,
  SLOW,
  sliceBins,
} from './shape.ts';
import { readWeights, type Weights } from './weights.ts';

export const FACTS = [
  'toneLost',
  'stringLost',
  'toneAdded',
  'stringAdded',
  'held',
  'dead',
  'silent',
  'right',
] as const;
export type Fact = (typeof FACTS)[number];

export interface Impression {
  /** Log odds that each pitch from C2 up was struck. */
  readonly struck: Float64Array;
  /** Log odds. */
  readonly facts: Readonly<Record<Fact, number>>;
  /** Weights (they sum to 1) of the beginning over the fast frames, and that nothing began. */
  readonly when: Float64Array;
}

export interface Network {
  hear(patch: Patch, score: Score): Impression;
}

/** Due, due before, due next, due in another octave, height. */
const TOLD = 5;
/** Frames are taken three at a time, then three of these groups every second one. */
const GROUPS = SLOW.frames / 3;
const WINDOWS = (GROUPS - 3) / 2 + 1;

/** @param bytes The weights as the training script writes them. @throws RangeError where they are not whole. */
export function readNetwork(bytes: Uint8Array): Network {
  return networkOf(readWeights(bytes));
}

interface Parts {
  /** The slices of a frame, and whether it belongs to the change. */
  readonly slices: Linear;
  readonly told: Linear;
  readonly groups: Linear;
  readonly windows: Linear;
  readonly token: Linear;
  readonly told2: Linear;
  readonly chord: Float64Array;
  readonly layers: readonly Layer[];
  readonly norm: readonly [Float64Array, Float64Array];
  readonly pitch: Linear;
  readonly facts: Linear;
  readonly beginning: Beginning;
}

function partsOf(weights: Weights): Parts {
  const of = (name: string): Float64Array => {
    const found = weights.get(name);
    if (!found) throw new RangeError(`readNetwork: ${name} is missing`);
    return found;
  };
  const linear = (name: string): Linear => linearOf(of(`${name}.weight`), of(`${name}.bias`));
  const slices = linear('slices');
  return {
    slices,
    told: linearOf(of('score1.weight'), new Float64Array(slices.outputs)),
    groups: linear('time2'),
    windows: linear('time3'),
    token: linear('token'),
    told2: linear('score2'),
    chord: of('chord'),
    layers: layersOf(of, linear),
    norm: [of('norm.weight'), of('norm.bias')],
    pitch: linear('pitch'),
    facts: linear('facts'),
    beginning: beginningOf(of, linear),
  };
}

function networkOf(weights: Weights): Network {
  const parts = partsOf(weights);
  const see = frameSight(parts);
  const width = parts.chord.length;
  const tokens = new Float64Array((PITCHES + 1) * width);
  const struck = new Float64Array(2 * PITCHES);
  return {
    hear: (patch, score) => {
      const told = toldOf(score);
      const frames = see(patch, told);
      tokens.set(parts.chord);
      tokensOf(parts, frames.windows, told, score, tokens);
      for (const layer of parts.layers) attend(layer, tokens);
      normalize(tokens, tokens, PITCHES + 1, ...parts.norm);
      apply(parts.pitch, tokens, struck, PITCHES, width, width);
      const chord = tokens.subarray(0, width);
      return {
        struck: Float64Array.from({ length: PITCHES }, (_, p) => struck[2 * p]!),
        facts: factsOf(parts.facts, tokens, width),
        when: parts.beginning.find(frames.seen, chord, patch, score.due),
      };
    },
  };
}

/** [pitch][{@link TOLD}]. */
function toldOf({ due, before, next }: Score): Float64Array {
  const names = new Uint8Array(12);
  due.forEach((mark, p) => mark && (names[p % 12] = 1));
  const told = new Float64Array(PITCHES * TOLD);
  for (let p = 0; p < PITCHES; p++) {
    told.set([due[p]!, before[p]!, next[p]!, names[p % 12]!, p / 24 - 1], p * TOLD);
  }
  return told;
}

/** What every pitch sees of every frame, and of stretches of frames. */
function frameSight(parts: Parts) {
  const { slices, groups, windows } = parts;
  const bins = sliceBins();
  const c1 = slices.outputs;
  const c2 = groups.outputs;
  const c3 = windows.outputs;
  const gathered = new Float64Array(SLOW.frames * slices.inputs);
  const seen = new Float64Array(PITCHES * SLOW.frames * c1);
  const grouped = new Float64Array(GROUPS * c2);
  const windowed = new Float64Array(PITCHES * WINDOWS * c3);
  const bias = new Float64Array(PITCHES * c1);

  const gather = ({ slow }: Patch, p: number, frames: number): void => {
    for (let f = 0; f < frames; f++) {
      const to = f * slices.inputs;
      for (let s = 0; s < SLICES; s++) {
        const bin = bins[p * SLICES + s]!;
        gathered[to + s] = bin < 0 ? 0 : slow[f * SLOW.bins + bin]!;
      }
      gathered[to + SLICES] = 1;
    }
  };
  return (patch: Patch, told: Float64Array) => {
    apply(parts.told, told, bias, PITCHES);
    const live = Math.min(SLOW.frames, patch.frames);
    for (let p = 0; p < PITCHES; p++) {
      const base = p * SLOW.frames * c1;
      gather(patch, p, live);
      apply(slices, gathered, seen, live, slices.inputs, 0, base);
      for (let f = 0; f < SLOW.frames; f++) {
        for (let c = 0; c < c1; c++) {
          const own = f < live ? seen[base + f * c1 + c]! : slices.bias[c]!;
          const value = own + bias[p * c1 + c]!;
          seen[base + f * c1 + c] = value > 0 ? value : 0;
        }
      }
      // Groups after the change are all alike: one is computed and copied.
      const ended = Math.min(GROUPS, Math.ceil(live / 3) + 1);
      apply(groups, seen, grouped, ended, 3 * c1, base);
      for (let g = ended; g < GROUPS; g++) grouped.copyWithin(g * c2, (ended - 1) * c2, ended * c2);
      rectify(grouped);
      apply(windows, grouped, windowed, WINDOWS, 2 * c2, 0, p * WINDOWS * c3);
    }
    rectify(windowed);
    return { seen, windows: windowed };
  };
}

function tokensOf(
  { token, told2 }: Parts,
  windows: Float64Array,
  told: Float64Array,
  { due }: Score,
  tokens: Float64Array,
): void {
  const width = token.outputs;
  apply(token, windows, tokens, PITCHES, token.inputs, 0, width);
  const share = due.reduce((sum, mark) => sum + mark, 0) / PITCHES;
  const asked = new Float64Array(PITCHES * (TOLD + 1));
  for (let p = 0; p < PITCHES; p++) {
    asked.set(told.subarray(p * TOLD, (p + 1) * TOLD), p * (TOLD + 1));
    asked[p * (TOLD + 1) + TOLD] = share;
  }
  const more = new Float64Array(PITCHES * width);
  apply(told2, asked, more, PITCHES);
  for (let i = 0; i < more.length; i++) tokens[width + i]! += more[i]!;
}

function factsOf(
  facts: Linear,
  tokens: Float64Array,
  width: number,
): Readonly<Record<Fact, number>> {
  const input = new Float64Array(2 * width);
  input.set(tokens.subarray(0, width));
  for (let p = 1; p <= PITCHES; p++) {
    for (let i = 0; i < width; i++) input[width + i]! += tokens[p * width + i]! / PITCHES;
  }
  const out = new Float64Array(facts.outputs);
  apply(facts, input, out, 1);
  return Object.fromEntries(FACTS.map((fact, i) => [fact, out[i]!])) as Record<Fact, number>;
}

/** Marks of pitches for a {@link Score}; those outside the network's range are left out. */
export function marksOf(pitches: Iterable<number>): Uint8Array {
  const marks = new Uint8Array(PITCHES);
  for (const pitch of pitches) {
    if (pitch >= LOWEST_PITCH && pitch < LOWEST_PITCH + PITCHES) marks[pitch - LOWEST_PITCH] = 1;
  }
  return marks;
}

/** Room for one patch, to be filled. */
export const emptyPatch = () => ({
  slow: new Float64Array(SLOW.frames * SLOW.bins),
  fast: new Float64Array(FAST.frames * FAST.channels),
});
