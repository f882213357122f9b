// Which notes sound in a stretch of guitar: its spectrum explained as a sum of plucked notes, none negative.
import type { Cents, Midi, Samples, Seconds } from '../base/units.ts';
import { EAR_RATE } from './rate.ts';
import { analyser } from './spectrum.ts';

/** E2, the lowest open string, two semitones of slack below it, to E6. */
export const LOWEST_NOTE: Midi = 38;
export const HIGHEST_NOTE: Midi = 88;
const NOTES = HIGHEST_NOTE - LOWEST_NOTE + 1;

/** One transform of this size holds the longest stretch, padded with silence: 1.3 Hz between magnitudes. */
const SIZE: Samples = 16_384;
const SHORTEST: Seconds = 0.08;
export const LONGEST: Seconds = 0.6;

/** Thirds of a semitone from D2 to about 5.3 kHz. */
export const PER_SEMITONE = 3;
export const LOWEST_STEP: Midi = 37;
const STEPS = (112 - LOWEST_STEP) * PER_SEMITONE;

/**
 * Partial k of a pluck is taken to have ROLL_OFF^(k−1) times the first one's amplitude. On the train half several
 * roll-offs for each note told presence no better and cost four times as much.
 */
const ROLL_OFF = 0.75;
const PARTIALS = 20;
/** 0 leaves the spectrum as it is, 1 makes every octave equally loud. */
const WHITENING = 0.6;

export interface NoteEvidence {
  /** Amplitude of each note from {@link LOWEST_NOTE} on, 0 and up. */
  readonly notes: Float64Array;
  /** The whitened spectrum they explain, in thirds of a semitone from {@link LOWEST_STEP} on, loudest 1. */
  readonly steps: Float64Array;
  /** Of the stretch, for the tuning. Reused by the next call. */
  readonly magnitudes: Float32Array;
  readonly binHz: number;
  /** How much of the (whitened) spectrum the notes leave unexplained, 0–1: high for dead strings and noise. */
  readonly unexplained: number;
  readonly length: Seconds;
}

/** Null if the stretch is shorter than 80 ms; of a long one the first 0.6 s are heard. */
export function hearNotes(
  samples: Float32Array,
  from: Seconds,
  to: Seconds,
  tuning: Cents,
): NoteEvidence | null {
  const length = Math.min(to - from, LONGEST);
  if (!(length >= SHORTEST)) return null;
  const magnitudes = spectrumOf(
    samples,
    Math.round(from * EAR_RATE),
    Math.round(length * EAR_RATE),
  );
  const binHz = EAR_RATE / SIZE;
  const steps = whitened(toSteps(magnitudes, binHz, tuning));
  const dictionary = dictionaryFor(length);
  const notes = explain(steps, dictionary);
  return {
    notes,
    steps,
    magnitudes,
    binHz,
    unexplained: leftOver(steps, dictionary, notes),
    length,
  };
}

const padded = new Float32Array(SIZE);

/** Hann over exactly the stretch, so that nothing of the next chord leaks in. */
function spectrumOf(samples: Float32Array, from: Samples, length: Samples): Float32Array {
  padded.fill(0);
  for (let i = 0; i < length; i++) {
    padded[i] = (samples[from + i] ?? 0) * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length));
  }
  return analyser(SIZE).plainMagnitudes(padded);
}

/** The loudest magnitude within each third of a semitone, the guitar's own tuning taken as in tune. */
function toSteps(magnitudes: Float32Array, binHz: number, tuning: Cents): Float64Array {
  return Float64Array.from({ length: STEPS }, (_, s) => {
    const low = hertz(LOWEST_STEP + (s - 0.5) / PER_SEMITONE + tuning / 100) / binHz;
    const high = hertz(LOWEST_STEP + (s + 0.5) / PER_SEMITONE + tuning / 100) / binHz;
    let most = 0;
    for (let k = Math.round(low); k <= Math.round(high); k++) most = Math.max(most, magnitudes[k]!);
    return most;
  });
}

const hertz = (midi: number): number => 440 * 2 ** ((midi - 69) / 12);

/** Divides by (a power of) the mean over an octave to each side, and scales the loudest step to 1. */
function whitened(steps: Float64Array): Float64Array {
  const reach = 12 * PER_SEMITONE;
  const sums = new Float64Array(STEPS + 1);
  steps.forEach((v, i) => (sums[i + 1] = sums[i]! + v * v));
  const out = steps.map((v, i) => {
    const [from, to] = [Math.max(0, i - reach), Math.min(STEPS, i + reach + 1)];
    const mean = Math.sqrt((sums[to]! - sums[from]!) / (to - from));
    return v / (mean ** WHITENING + 1e-9);
  });
  const most = out.reduce((m, v) => Math.max(m, v), 1e-12);
  return out.map((v) => v / most);
}

interface Dictionary {
  /** One row of steps for each note. */
  readonly rows: readonly Float64Array[];
  /** Products of all pairs of rows, row by row. */
  readonly gram: Float64Array;
}

const dictionaries = new Map<number, Dictionary>();

/** A short stretch widens every peak: dictionaries are kept for each 20 ms of length. */
function dictionaryFor(length: Seconds): Dictionary {
  const key = Math.round(length / 0.02);
  let dictionary = dictionaries.get(key);
  if (!dictionary) dictionaries.set(key, (dictionary = buildDictionary(key * 0.02)));
  return dictionary;
}

function buildDictionary(length: Seconds): Dictionary {
  const rows = Array.from({ length: NOTES }, (_, n) => rowOf(LOWEST_NOTE + n, length));
  const gram = new Float64Array(rows.length ** 2);
  rows.forEach((a, i) => rows.forEach((b, j) => (gram[i * rows.length + j] = dot(a, b))));
  return { rows, gram };
}

function rowOf(midi: Midi, length: Seconds): Float64Array {
  const row = new Float64Array(STEPS);
  for (let k = 1; k <= PARTIALS; k++) {
    const f = k * hertz(midi);
    // The Hann main lobe falls to half 1/length Hz from its middle.
    const width = 12 * PER_SEMITONE * Math.log2(1 + 1 / length / f);
    const middle = (69 - LOWEST_STEP + 12 * Math.log2(f / 440)) * PER_SEMITONE;
    for (let s = Math.max(0, Math.floor(middle - 3 * width - 1)); s < STEPS; s++) {
      const distance = Math.max(0, Math.abs(s - middle) - 0.5) / width;
      if (distance > 2 && s > middle) break;
      if (distance <= 2) row[s] = Math.max(row[s]!, ROLL_OFF ** (k - 1) * lobe(distance));
    }
  }
  const norm = Math.sqrt(dot(row, row));
  return row.map((v) => v / norm);
}

/** The Hann main lobe, 1 in the middle, 0.5 at 1, 0 from 2 on. */
const lobe = (distance: number): number =>
  distance >= 2 ? 0 : 0.5 + 0.5 * Math.cos((Math.PI * distance) / 2);

const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
};

/** Least squares without negative amounts, by coordinate descent (Franc, Hlaváč & Navara 2005; from memory). */
function explain(steps: Float64Array, { rows, gram }: Dictionary): Float64Array {
  const count = rows.length;
  const amounts = new Float64Array(count);
  const slope = Float64Array.from(rows, (row) => -dot(row, steps));
  for (let round = 0; round < 40; round++) {
    for (let i = 0; i < count; i++) {
      const wanted = Math.max(0, amounts[i]! - slope[i]!);
      const change = wanted - amounts[i]!;
      if (change === 0) continue;
      amounts[i] = wanted;
      for (let j = 0; j < count; j++) slope[j]! += change * gram[i * count + j]!;
    }
  }
  return amounts;
}

function leftOver(steps: Float64Array, { rows }: Dictionary, amounts: Float64Array): number {
  const left = steps.slice();
  amounts.forEach((amount, n) => {
    if (amount > 0) rows[n]!.forEach((v, s) => (left[s]! -= amount * v));
  });
  return dot(left, left) / Math.max(1e-12, dot(steps, steps));
}
