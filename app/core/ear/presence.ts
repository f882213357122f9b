// How likely each pitch class sounds, from the notes and the spectrum of a stretch, by a small trained network.
import type { Share } from '../base/units.ts';
import {
  type NoteEvidence,
  HIGHEST_NOTE,
  LOWEST_NOTE,
  LOWEST_STEP,
  PER_SEMITONE,
} from './notes.ts';
import { unpackWeights } from './presence-code.ts';
import { PRESENCE_WEIGHTS } from './presence-weights.ts';

// One network serves all twelve pitch classes: it sees everything from the class it is asked about upward, so
// that what it learns of one class (its octaves, the fifth that a third partial feigns) it knows of all.

/** Amplitudes below this share of the loudest are all alike; the logarithm is then brought to 0–1. */
const FLOOR = 0.01;
const onScale = (amplitude: number): number => 1 + Math.log(amplitude + FLOOR) / -Math.log(FLOOR);

/** C2: every pitch class is looked at from its place in the octave above. */
const BASE = 36;
/** Five octaves of notes, seven of spectrum, the twelve classes by loudest note and by sum, three facts. */
const OCTAVES = { notes: 5, spectrum: 7 } as const;
export const INPUTS = 12 * (OCTAVES.notes + OCTAVES.spectrum + 2) + 3;
export const HIDDEN = 24;
/** Weights are kept as whole numbers of this size. */
export const WEIGHT_UNIT = 1 / 1000;

/** Probability that each pitch class sounds, C first. Near-certainties of notes at the edge are tempered by the judge. */
export function presence(evidence: NoteEvidence): Share[] {
  return presenceInputs(evidence).map((inputs) => 1 / (1 + Math.exp(-logOdds(inputs))));
}

/** What the network is shown for each pitch class; `fit-presence.ts` trains it on the same. */
export function presenceInputs(evidence: NoteEvidence): Float64Array[] {
  const notes = upward(evidence.notes, LOWEST_NOTE);
  const spectrum = upward(semitones(evidence.steps), LOWEST_STEP);
  const { most, sum, at } = folded(evidence.notes);
  return Array.from({ length: 12 }, (_, pc) => {
    const inputs = new Float64Array(INPUTS);
    let i = 0;
    for (let k = 0; k < 12 * OCTAVES.notes; k++) inputs[i++] = notes[pc + k] ?? 0;
    for (let k = 0; k < 12 * OCTAVES.spectrum; k++) inputs[i++] = spectrum[pc + k] ?? 0;
    for (let k = 0; k < 12; k++) inputs[i++] = most[(pc + k) % 12]!;
    for (let k = 0; k < 12; k++) inputs[i++] = sum[(pc + k) % 12]!;
    inputs.set([evidence.unexplained, (at[pc]! - 60) / 24, 2 * evidence.length - 0.6], i);
    return inputs;
  });
}

/** On the logarithmic scale, from {@link BASE} on; what lies outside is silent. */
function upward(amplitudes: Float64Array, lowest: number): Float64Array {
  const loudest = amplitudes.reduce((most, v) => Math.max(most, v), 1e-12);
  const out = new Float64Array(12 * 9);
  amplitudes.forEach((v, i) => {
    const place = lowest + i - BASE;
    if (place >= 0 && place < out.length) out[place] = onScale(v / loudest);
  });
  return out;
}

/** The loudest of the three thirds around each semitone. */
function semitones(steps: Float64Array): Float64Array {
  return Float64Array.from({ length: Math.floor(steps.length / PER_SEMITONE) }, (_, i) => {
    const middle = i * PER_SEMITONE;
    return Math.max(steps[middle - 1] ?? 0, steps[middle]!, steps[middle + 1] ?? 0);
  });
}

/** Per pitch class: its loudest note and the sum of its notes, both on the scale, and where the loudest lies. */
function folded(notes: Float64Array) {
  const loudest = notes.reduce((most, v) => Math.max(most, v), 1e-12);
  const most = new Float64Array(12);
  const sum = new Float64Array(12);
  const at = new Float64Array(12).fill(60);
  for (let midi = LOWEST_NOTE; midi <= HIGHEST_NOTE; midi++) {
    const share = notes[midi - LOWEST_NOTE]! / loudest;
    sum[midi % 12]! += share;
    if (share <= most[midi % 12]!) continue;
    most[midi % 12] = share;
    at[midi % 12] = midi;
  }
  const total = sum.reduce((a, b) => a + b, 1e-12);
  return { most: most.map(onScale), sum: sum.map((v) => onScale(v / total)), at };
}

/** Hidden weights unit by unit, hidden thresholds, output weights, output threshold. */
let weights: Float64Array | null = null;

function logOdds(inputs: Float64Array): number {
  weights ??= Float64Array.from(unpackWeights(PRESENCE_WEIGHTS), (w) => w * WEIGHT_UNIT);
  const out = INPUTS * HIDDEN + HIDDEN;
  let sum = weights[out + HIDDEN]!;
  for (let h = 0; h < HIDDEN; h++) {
    let hidden = weights[INPUTS * HIDDEN + h]!;
    for (let i = 0; i < INPUTS; i++) hidden += weights[h * INPUTS + i]! * inputs[i]!;
    sum += weights[out + h]! * Math.tanh(hidden);
  }
  return sum;
}
