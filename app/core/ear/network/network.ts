// The ear's network: says of each pitch whether it was struck, of the chord what is wrong, and when the first string began.
//
// One token for each pitch sees the harmonics of that pitch over time and whether it is due; the tokens share their
// weights and then look at each other. Trained by tests/bench/ear-training, which holds the same network in PyTorch.
import { attentionOf, TOKENS } from './attention.ts';
import { beginningOf } from './beginning.ts';
import { type Desk, deskOf, type Linear, normalize } from '../arithmetic/linear.ts';
import { arithmeticFor, type Numbers } from '../arithmetic/multiply.ts';
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

/** Weights, and rooms for what comes of them: 4 MB. */
const DESK = 1024 * 1024;
/** Due, due before, due next, due in another octave, height. */
const TOLD = 5;
/** Frames are taken three at a time, then three of these groups every second one. */
const GROUPS = SLOW.frames / 3;
const WINDOWS = (GROUPS - 3) / 2 + 1;

/** @param bytes The weights as the training script writes them. @param reckon Who multiplies. @throws RangeError where they are not whole. */
export function readNetwork(bytes: Uint8Array, reckon = arithmeticFor): Network {
  return networkOf(readWeights(bytes), deskOf(DESK, reckon(DESK)));
}

function networkOf(weights: Weights, desk: Desk): Network {
  const of = (name: string): Float64Array => {
    const found = weights.get(name);
    if (!found) throw new RangeError(`readNetwork: ${name} is missing`);
    return found;
  };
  const linear = (name: string): Linear => desk.map(of(`${name}.weight`), of(`${name}.bias`));
  const { numbers: n } = desk;
  const chord = of('chord');
  const width = chord.length;
  const tokens = desk.room(TOKENS * width);
  const norm = [of('norm.weight'), of('norm.bias')] as const;
  const told = toldOf(desk);
  const see = frameSight(linear, of('score1.weight'), told.at, desk);
  const lay = tokensOf(linear, told.at, desk);
  const attend = attentionOf(weights, desk, linear);
  const pitch = linear('pitch');
  const struck = { at: desk.room(PITCHES * pitch.outputs), stride: pitch.outputs };
  const facts = factsOf(linear('facts'), of('facts.bias').length, desk);
  const beginning = beginningOf(of, linear, desk);
  return {
    hear: (patch, score) => {
      told.fill(score);
      const { seen, windows } = see(patch);
      n.set(chord, tokens);
      lay(windows, tokens + width);
      attend(tokens);
      normalize(n, tokens, tokens, TOKENS, norm);
      desk.apply(pitch, { at: tokens + width, stride: width }, struck, PITCHES);
      return {
        struck: Float64Array.from({ length: PITCHES }, (_, p) => n[struck.at + p * struck.stride]!),
        facts: facts(tokens, width),
        when: beginning.find(seen, tokens, patch, score.due),
      };
    },
  };
}

/** What every pitch is told of the score: [pitch][{@link TOLD} and the share of pitches that are due]. */
function toldOf({ room, numbers: n }: Desk) {
  const at = room(PITCHES * (TOLD + 1));
  return {
    at,
    fill: ({ due, before, next }: Score): void => {
      const names = new Uint8Array(12);
      due.forEach((mark, p) => mark && (names[p % 12] = 1));
      const share = due.reduce((sum, mark) => sum + mark, 0) / PITCHES;
      for (let p = 0; p < PITCHES; p++) {
        const own = [due[p]!, before[p]!, next[p]!, names[p % 12]!, p / 24 - 1, share];
        n.set(own, at + p * (TOLD + 1));
      }
    },
  };
}

/** What every pitch sees of every frame, and of stretches of frames: where both lie. */
function frameSight(
  linear: (name: string) => Linear,
  scoreWeights: Float64Array,
  told: number,
  desk: Desk,
) {
  const { numbers: n } = desk;
  const [slices, groups, windows] = [linear('slices'), linear('time2'), linear('time3')];
  const score = desk.map(scoreWeights, new Float64Array(slices.outputs));
  n.copyWithin(score.bias, slices.bias, slices.bias + slices.outputs);
  const bins = sliceBins();
  const [c1, c2, c3] = [slices.outputs, groups.outputs, windows.outputs];
  const gathered = { at: desk.room(SLOW.frames * slices.inputs), stride: slices.inputs };
  const seen = desk.room(PITCHES * SLOW.frames * c1);
  const grouped = desk.room(GROUPS * c2);
  const windowed = desk.room(PITCHES * WINDOWS * c3);
  /** Of each pitch: the slices' bias and what the score adds. */
  const bias = desk.room(PITCHES * c1);

  const gather = ({ slow }: Patch, p: number, frames: number): void => {
    for (let f = 0; f < frames; f++) {
      const to = gathered.at + f * slices.inputs;
      for (let s = 0; s < SLICES; s++) {
        const bin = bins[p * SLICES + s]!;
        n[to + s] = bin < 0 ? 0 : slow[f * SLOW.bins + bin]!;
      }
      n[to + SLICES] = 1;
    }
  };
  return (patch: Patch) => {
    desk.apply(score, { at: told, stride: TOLD + 1 }, { at: bias, stride: c1 }, PITCHES);
    const live = Math.min(SLOW.frames, patch.frames);
    // Groups after the change are all alike, and so are windows of such: one is computed and copied.
    const ended = Math.min(GROUPS, Math.ceil(live / 3) + 1);
    const last = Math.min(WINDOWS, Math.ceil((ended - 1) / 2) + 1);
    for (let p = 0; p < PITCHES; p++) {
      const own = seen + p * SLOW.frames * c1;
      const told = { bias: bias + p * c1, rectified: true } as const;
      gather(patch, p, live);
      if (live > 0) desk.apply(slices, gathered, { at: own, stride: c1 }, live, told);
      for (let f = live; f < SLOW.frames; f++) {
        for (let c = 0; c < c1; c++) n[own + f * c1 + c] = Math.max(0, n[told.bias + c]!);
      }
      const [thirds, halves] = [
        { at: own, stride: 3 * c1 },
        { at: grouped, stride: 2 * c2 },
      ];
      desk.apply(groups, thirds, { at: grouped, stride: c2 }, ended, { rectified: true });
      repeat(n, grouped, c2, ended, GROUPS);
      const to = windowed + p * WINDOWS * c3;
      desk.apply(windows, halves, { at: to, stride: c3 }, last, { rectified: true });
      repeat(n, to, c3, last, WINDOWS);
    }
    return { seen, windows: windowed };
  };
}

/** The last of `have` rows again, until there are `want`. */
function repeat(n: Numbers, at: number, width: number, have: number, want: number): void {
  const last = at + (have - 1) * width;
  for (let row = have; row < want; row++) n.copyWithin(at + row * width, last, last + width);
}

/** From what each pitch saw to its token. */
function tokensOf(linear: (name: string) => Linear, told: number, desk: Desk) {
  const { numbers: n } = desk;
  const [token, score] = [linear('token'), linear('score2')];
  const width = token.outputs;
  const more = desk.room(PITCHES * width);
  return (windows: number, tokens: number): void => {
    const from = { at: windows, stride: token.inputs };
    desk.apply(token, from, { at: tokens, stride: width }, PITCHES);
    desk.apply(score, { at: told, stride: TOLD + 1 }, { at: more, stride: width }, PITCHES);
    for (let i = 0; i < PITCHES * width; i++) n[tokens + i]! += n[more + i]!;
  };
}

function factsOf(facts: Linear, count: number, { numbers: n, ...desk }: Desk) {
  const input = desk.room(facts.inputs);
  const out = desk.room(facts.outputs);
  return (tokens: number, width: number): Readonly<Record<Fact, number>> => {
    n.copyWithin(input, tokens, tokens + width);
    for (let i = 0; i < width; i++) {
      let sum = 0;
      for (let p = 1; p <= PITCHES; p++) sum += n[tokens + p * width + i]!;
      n[input + width + i] = sum / PITCHES;
    }
    desk.apply(facts, { at: input, stride: 0 }, { at: out, stride: 0 }, 1);
    const said = FACTS.slice(0, count).map((fact, i) => [fact, n[out + i]!]);
    return Object.fromEntries(said) as Record<Fact, number>;
  };
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
  slow: new Float32Array(SLOW.frames * SLOW.bins),
  fast: new Float32Array(FAST.frames * FAST.channels),
});
