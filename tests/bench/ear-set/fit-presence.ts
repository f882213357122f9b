// Trains the network of app/core/ear/presence.ts on the train half and writes its weights:
// `node tests/bench/ear-set/fit-presence.ts`. The held-out half is never read here.
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { clickRemover } from '../../../app/core/ear/clicks.ts';
import { hearNotes } from '../../../app/core/ear/notes.ts';
import { HIDDEN, INPUTS, WEIGHT_UNIT, presenceInputs } from '../../../app/core/ear/presence.ts';
import { packWeights } from '../../../app/core/ear/presence-code.ts';
import { resampled } from '../../../app/core/ear/rate.ts';
import { BANK_RATE } from './bank.ts';
import { adam } from '../adam.ts';
import type { TakePlan, TrueChange } from './plan.ts';
import { dice } from './random.ts';
import { readTake, takesOf } from './set.ts';

const TARGET = fileURLToPath(new URL('../../../app/core/ear/presence-weights.ts', import.meta.url));

interface Example {
  readonly inputs: Float64Array;
  /** 1 where the pitch class was struck. */
  readonly sounds: 0 | 1;
}

const EPOCHS = 60;
const BATCH = 256;
const RATE = 3e-3;
/** Holds the weights small; with 24 hidden units the best of those tried by two-fold cross-validation. */
const DECAY = 3e-4;

main();

function main(): void {
  const examples = takesOf('train').flatMap(({ plan, wav }) => examplesOf(plan, readTake(wav)));
  const { weights, loss } = train(examples);
  writeFileSync(TARGET, fileOf(weights));
  console.log(
    `${examples.length} examples, mean loss ${loss.toFixed(4)}, ${weights.length} weights`,
  );
}

/** Twelve for each change that had any pitch, from the true time of its first stroke on. */
function examplesOf(plan: TakePlan, sound: Float32Array): Example[] {
  const samples = resampled(sound, BANK_RATE);
  const clicks = new Float32Array(samples.length);
  clickRemover(plan.clicks).advance(samples, clicks, samples.length);
  return plan.changes
    .filter((change) => change.deed !== 'muted' && change.played !== null)
    .flatMap((change) => {
      const [from, to] = stretchOf(plan, change);
      const evidence = hearNotes(samples, from + 0.015, to - 0.015, plan.detune);
      if (!evidence) return [];
      const struck = struckBetween(plan, from, Math.min(to, from + 0.45));
      return presenceInputs(evidence).map((inputs, pc): Example => ({
        inputs,
        sounds: struck.has(pc) ? 1 : 0,
      }));
    });
}

/** Until the next chord; of a chord that came with the second stroke only the first is heard. */
function stretchOf(plan: TakePlan, change: TrueChange): [number, number] {
  const own = plan.strokes.filter((s) => s.due >= change.due - 1e-6 && s.due < change.until - 1e-6);
  const after = plan.strokes.find((s) => s.at > own.at(-1)!.at)?.at ?? Infinity;
  const second = change.deed === 'held-then-right' ? (own[1]?.at ?? Infinity) : Infinity;
  return [own[0]!.at, Math.min(change.until, after, second)];
}

function struckBetween(plan: TakePlan, from: number, to: number): Set<number> {
  const strokes = plan.strokes.filter((s) => s.at >= from - 1e-6 && s.at < to - 1e-6);
  return new Set(strokes.flatMap((s) => s.plucks.map((p) => p.midi % 12)));
}

/** Gradient descent with a cosine-falling rate; seeded, so that the same set gives the same weights. */
function train(all: readonly Example[]) {
  const d = dice(1);
  const size = INPUTS * HIDDEN + 2 * HIDDEN + 1;
  const spread = (i: number) => (i < INPUTS * HIDDEN ? INPUTS ** -0.5 : HIDDEN ** -0.5);
  const isThreshold = (i: number) =>
    (i >= INPUTS * HIDDEN && i < INPUTS * HIDDEN + HIDDEN) || i === size - 1;
  const w = Float64Array.from({ length: size }, (_, i) =>
    isThreshold(i) ? 0 : d.normal(0, spread(i)),
  );
  const stride = adam(size);
  let loss = 0;
  for (let epoch = 0; epoch < EPOCHS; epoch++) {
    const order = shuffled(all, d);
    const rate = (RATE * (1 + Math.cos((Math.PI * epoch) / EPOCHS))) / 2;
    loss = 0;
    for (let at = 0; at < order.length; at += BATCH) {
      const batch = order.slice(at, at + BATCH);
      const slope = new Float64Array(size);
      for (const example of batch) loss += addSlope(w, example, slope, batch.length);
      for (let i = 0; i < size; i++) slope[i]! += DECAY * w[i]!;
      const moves = stride(slope, rate);
      for (let i = 0; i < size; i++) w[i]! -= moves[i]!;
    }
  }
  return { weights: w, loss: loss / all.length };
}

/** Adds the gradient of the cross-entropy of one example; returns the loss. */
function addSlope(w: Float64Array, { inputs, sounds }: Example, slope: Float64Array, of: number) {
  const thresholds = INPUTS * HIDDEN;
  const out = thresholds + HIDDEN;
  const hidden = new Float64Array(HIDDEN);
  let odds = w[out + HIDDEN]!;
  for (let h = 0; h < HIDDEN; h++) {
    let sum = w[thresholds + h]!;
    for (let i = 0; i < INPUTS; i++) sum += w[h * INPUTS + i]! * inputs[i]!;
    hidden[h] = Math.tanh(sum);
    odds += w[out + h]! * hidden[h]!;
  }
  const p = 1 / (1 + Math.exp(-odds));
  const error = (p - sounds) / of;
  slope[out + HIDDEN]! += error;
  for (let h = 0; h < HIDDEN; h++) {
    slope[out + h]! += error * hidden[h]!;
    const back = error * w[out + h]! * (1 - hidden[h]! ** 2);
    slope[thresholds + h]! += back;
    for (let i = 0; i < INPUTS; i++) slope[h * INPUTS + i]! += back * inputs[i]!;
  }
  return -Math.log(Math.max(1e-12, sounds === 1 ? p : 1 - p));
}

/** Fisher and Yates. */
function shuffled<T>(from: readonly T[], d: ReturnType<typeof dice>): T[] {
  const out = [...from];
  for (let i = out.length - 1; i > 0; i--) {
    const j = Math.floor(d.between(0, i + 1));
    [out[i], out[j]] = [out[j]!, out[i]!];
  }
  return out;
}

function fileOf(trained: Float64Array): string {
  const packed = packWeights(Array.from(trained, (v) => Math.round(v / WEIGHT_UNIT)));
  return [
    '// Written by tests/bench/ear-set/fit-presence.ts from the train half of the test set; never edited by hand.',
    '',
    '/** In thousandths, by `packWeights`; see `logOdds` in presence.ts for their order. */',
    `export const PRESENCE_WEIGHTS =\n  '${packed}';`,
    '',
  ].join('\n');
}
