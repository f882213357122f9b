// One plucked guitar string as samples: a delay line closed by a lowpass and a tuning allpass.
// The scheme is Karplus & Strong's, with the tuning filter of Jaffe & Smith (both Computer Music
// Journal 7(2), 1983; from memory): what goes round the loop takes exactly one period of the pitch.
import type { Hertz, Midi, SampleRate, Seconds } from '../base/units.ts';
import { nextNoise } from './noise.ts';

/** A string left alone is as good as silent after this long. */
export const RING: Seconds = 4;
/** A stroke with the strings muted by the hand is a short scratch. */
export const MUTED_RING: Seconds = 0.12;

/** A stroke damped by the palm dies away within this. */
export const DAMPED_RING: Seconds = 0.32;

/** Equal temperament on A4 = 440 Hz (ISO 16:1975); fractions of a semitone count. */
export const frequencyOf = (midi: Midi): Hertz => 440 * 2 ** ((midi - 69) / 12);

interface PluckKind {
  readonly length: Seconds;
  /** Seconds in which the fundamental falls by 60 dB. */
  readonly decay: Seconds;
  /** Share of the older sample in the loop's lowpass, 0–0.5: more is duller. */
  readonly damping: number;
  /** Partials above are soft from the start. */
  readonly dark?: Hertz;
}

/** Low strings ring longer than high ones (common practice, no source; the figures are ours). */
function openKind(midi: Midi): PluckKind {
  const height = Math.min(1, Math.max(0, (midi - 40) / 45));
  return { length: RING, decay: 6 - 3 * height, damping: 0.28 - 0.1 * height };
}

const MUTED: PluckKind = { length: MUTED_RING, decay: 0.09, damping: 0.45 };
/** Under the palm a string keeps its pitch, but is dark and soon over (the figures are ours). */
const DAMPED: PluckKind = { length: DAMPED_RING, decay: 0.45, damping: 0.42, dark: 900 };

/** How a plucked string is held: free, under the hand that frets, or under the palm. */
export type Held = 'open' | 'muted' | 'damped';

/**
 * A string plucked once, peak 1. The same arguments always give the same samples.
 * @param midi 24–100. @throws RangeError outside, or when sampleRate is not 8,000–384,000.
 */
export function renderPluck(midi: Midi, sampleRate: SampleRate, held: Held = 'open'): Float32Array {
  if (!(midi >= 24 && midi <= 100))
    throw new RangeError(`renderPluck: no string sounds MIDI ${midi}`);
  if (!(sampleRate >= 8_000 && sampleRate <= 384_000)) {
    throw new RangeError(
      `renderPluck: ${sampleRate} Hz is not a sample rate from 8,000 to 384,000`,
    );
  }
  const kind = held === 'open' ? openKind(midi) : held === 'muted' ? MUTED : DAMPED;
  const loop = loopOf(frequencyOf(midi), kind, sampleRate);
  const out = new Float32Array(Math.round(kind.length * sampleRate));
  ring(out, excitation(loop.delay), loop);
  if (kind.dark !== undefined) darken(out, kind.dark, sampleRate);
  withBody(out, sampleRate);
  return finished(out, sampleRate);
}

interface Loop {
  readonly delay: number;
  readonly allpass: number;
  readonly damping: number;
  readonly gain: number;
}

/** Splits one period into whole samples, the lowpass's delay, and an allpass for what is left. */
function loopOf(hertz: Hertz, { decay, damping }: PluckKind, sampleRate: SampleRate): Loop {
  const w = (2 * Math.PI * hertz) / sampleRate;
  const lowpass = Math.atan2(damping * Math.sin(w), 1 - damping + damping * Math.cos(w)) / w;
  const rest = sampleRate / hertz - lowpass;
  const delay = Math.floor(rest - 0.3);
  const fraction = rest - delay;
  const allpass = Math.sin(((1 - fraction) * w) / 2) / Math.sin(((1 + fraction) * w) / 2);
  return { delay, allpass, damping, gain: 10 ** (-3 / (hertz * decay)) };
}

/** Where the pick meets the string, as a share of its length: partials with a node there are missing. */
const PICKED_AT = 0.14;

/** Partials of an ideal pluck move by 1/k (Fletcher & Rossing, The Physics of Musical Instruments; from memory); a pick's edge is brighter (ours). */
const TILT = 0.7;

/** One that gives no high peaks. */
const SEED = 40;

/**
 * One period with every partial as strong as the pick makes it there, so that no note is thinner or louder than its
 * neighbours; partials begin anywhere in their turn, as in noise.
 */
function excitation(length: number): Float32Array {
  let state = SEED;
  const turn = () => ((state = nextNoise(state)) >>> 0) / 2 ** 32;
  const sine = Float64Array.from({ length }, (_, i) => Math.sin((2 * Math.PI * i) / length));
  const out = new Float32Array(length);
  for (let partial = 1; partial < length / 2; partial++) {
    const amplitude =
      (Math.abs(Math.sin(Math.PI * partial * PICKED_AT)) * softness(partial / length)) /
      partial ** TILT;
    let at = Math.floor(turn() * length);
    for (let i = 0; i < length; i++) {
      out[i]! += amplitude * sine[at]!;
      at += partial;
      if (at >= length) at -= length;
    }
  }
  return out;
}

/** The pick is no needle: what it leaves of a partial of so many cycles a sample (three samples weighed 5 : 3 : 2). */
function softness(cycles: number): number {
  const w = 2 * Math.PI * cycles;
  return Math.hypot(
    0.5 + 0.3 * Math.cos(w) + 0.2 * Math.cos(2 * w),
    0.3 * Math.sin(w) + 0.2 * Math.sin(2 * w),
  );
}

function ring(out: Float32Array, start: Float32Array, { delay, allpass, damping, gain }: Loop) {
  const line = Float64Array.from(start);
  let at = 0;
  let older = 0;
  let allpassIn = 0;
  let allpassOut = 0;
  for (let i = 0; i < out.length; i++) {
    const x = line[at]!;
    out[i] = x;
    const low = gain * ((1 - damping) * x + damping * older);
    older = x;
    allpassOut = allpass * (low - allpassOut) + allpassIn;
    allpassIn = low;
    line[at] = allpassOut;
    at = at + 1 === delay ? 0 : at + 1;
  }
}

/** A lowpass of one pole. */
function darken(out: Float32Array, above: Hertz, sampleRate: SampleRate) {
  const share = 1 - Math.exp((-2 * Math.PI * above) / sampleRate);
  let low = 0;
  for (let i = 0; i < out.length; i++) out[i] = low += share * (out[i]! - low);
}

/** Two broad resonances of a guitar's air and top, added to the string (frequencies usual for a flat-top; ours). */
const BODY = [
  { hertz: 105, q: 3, gain: 0.9 },
  { hertz: 205, q: 4, gain: 0.6 },
] as const;

function withBody(out: Float32Array, sampleRate: SampleRate) {
  const string = Float32Array.from(out);
  for (const { hertz, q, gain } of BODY) addResonance(out, string, hertz / sampleRate, q, gain);
}

/** Adds a constant-peak bandpass of the input (the usual two-pole, two-zero form). */
function addResonance(out: Float32Array, input: Float32Array, f: number, q: number, gain: number) {
  const w = 2 * Math.PI * f;
  const alpha = Math.sin(w) / (2 * q);
  const b = (gain * alpha) / (1 + alpha);
  const a1 = (-2 * Math.cos(w)) / (1 + alpha);
  const a2 = (1 - alpha) / (1 + alpha);
  let x1 = 0;
  let x2 = 0;
  let y1 = 0;
  let y2 = 0;
  for (let i = 0; i < input.length; i++) {
    const x = input[i]!;
    const y = b * (x - x2) - a1 * y1 - a2 * y2;
    out[i]! += y;
    x2 = x1;
    x1 = x;
    y2 = y1;
    y1 = y;
  }
}

/** The end faded over a tenth of the length, the peak at 1. */
function finished(out: Float32Array, sampleRate: SampleRate): Float32Array {
  const fade = Math.min(out.length, Math.round(0.1 * sampleRate));
  for (let i = 0; i < fade; i++) out[out.length - 1 - i]! *= i / fade;
  let peak = 0;
  for (let i = 0; i < out.length; i++) peak = Math.max(peak, Math.abs(out[i]!));
  for (let i = 0; i < out.length; i++) out[i]! /= peak;
  return out;
}
