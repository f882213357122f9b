// Sounds for the ear's unit tests, all of them computed: tones, the model guitar's strings, and nothing else.
import { EAR_RATE } from '../../../app/core/ear/rate.ts';
import { frequencyOf } from '../../../app/core/sound/pluck.ts';
import { plucksAt } from '../../support/plucks.ts';
import type { Cents, Midi, SampleRate, Seconds } from '../../../app/core/base/units.ts';

export const tone = (hertz: number, seconds: Seconds, rate: SampleRate): Float32Array =>
  Float32Array.from({ length: Math.round(seconds * rate) }, (_, i) =>
    Math.sin((2 * Math.PI * hertz * i) / rate),
  );

/** Sines with falling overtones, retuned: a tone whose pitch is known exactly. */
export function harmonics(
  midi: Midi,
  cents: Cents,
  seconds: Seconds,
  rate: SampleRate = EAR_RATE,
): Float32Array {
  const f = frequencyOf(midi) * 2 ** (cents / 1200);
  return Float32Array.from({ length: Math.round(seconds * rate) }, (_, i) => {
    let sum = 0;
    for (let k = 1; k <= 10; k++) sum += 0.7 ** k * Math.sin((2 * Math.PI * k * f * i) / rate);
    return 0.1 * sum * Math.exp((-2 * i) / rate);
  });
}

/** As a microphone gives it; the ear brings it to its own rate. */
export const RATE: SampleRate = 48_000;

export interface Strum {
  readonly at: Seconds;
  /** From the lowest string up. */
  readonly notes: readonly Midi[];
  readonly muted?: boolean;
}

/** Strums of the model guitar, 10 ms from the first string to the last; each stops the one before. */
export function strums(all: readonly Strum[], length: Seconds, rate = RATE): Float32Array {
  const out = new Float32Array(Math.round(length * rate));
  const plucks = plucksAt(rate);
  all.forEach((strum, k) => {
    const stop = Math.round((all[k + 1]?.at ?? length) * rate);
    strum.notes.forEach((midi, i) => {
      const from = Math.round((strum.at + (0.01 * i) / strum.notes.length) * rate);
      const string = plucks.get({ midi, muted: strum.muted ?? false });
      for (let n = 0; n < string.length && from + n < stop; n++) out[from + n]! += 0.2 * string[n]!;
    });
  });
  return out;
}

export const add = (a: Float32Array, b: Float32Array, from = 0): Float32Array =>
  a.map((v, i) => v + (b[i - from] ?? 0));

export const CHORDS = {
  C: [48, 52, 55, 60, 64],
  Am: [45, 52, 57, 60, 64],
  G: [43, 47, 50, 55, 59, 67],
  A: [45, 52, 57, 61, 64],
} as const;
