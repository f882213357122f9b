// Takes the program's own clicks out of what the microphone heard: it knows how they sound, and when.
import FFT from 'fft.js';
import { renderVoice } from '../sound/voices.ts';
import type { ClickTimbre, ClickVoice } from '../timeline/click-voices.ts';
import type { Samples, Seconds, Share } from '../base/units.ts';
import { EAR_RATE } from './rate.ts';

/** One click, at the time at which it would be heard if the loudspeaker touched the microphone. */
export interface KnownClick {
  readonly at: Seconds;
  readonly voice: ClickVoice;
  /** @default 'wood' */
  readonly timbre?: ClickTimbre | undefined;
}

export interface ClickRemover {
  /**
   * Moves the clicks out of `samples`, of which `length` have come, into `clicks`, which is as long. What it was
   * told to move once is never touched again.
   */
  advance(samples: Float32Array, clicks: Float32Array, length: Samples): void;
  /** Nothing before this sample will be changed any more. */
  readonly settledUntil: Samples;
  /** Share of the sound around the clicks that they explain; they are taken out from {@link HEARD} on. */
  readonly heard: Share;
}

/** 0.26 s from 3 ms before a click: nearly all of its longest voice (0.2 s) in a room, and less than from one to the next. */
const FRAME: Samples = 4096;
const LEAD: Samples = 48;
/** Of the way to the microphone, delay and reflections: 150 ms are kept, the rest is chance. */
const KEPT: Samples = LEAD + 2400;
/** Where a voice has less than this share of its loudest partial's power, it teaches nothing (train half). */
const RIDGE: Share = 1e-7;
/** Less energy than this in a whole frame is digital silence, of which nothing can be learned. */
const NOTHING = 1e-7;
/** Below this share the clicks stay in headphones, and nothing is subtracted. */
export const HEARD: Share = 0.4;
/** So many clicks are waited for to learn the way; the later ones are taken out while they sound. */
const LESSONS = 2;

interface Prediction {
  readonly from: Samples;
  readonly click: Float64Array;
  /** How much of it has been moved. */
  done: Samples;
}

/**
 * Loudspeaker, room and microphone are one linear path that stays as it is during a pass. Its transfer
 * function is the sum over the clicks so far of (heard × conjugate of known) over known power, each click
 * weighted by one over the loudness around it: the count-in, where nothing else sounds, teaches most.
 */
export function clickRemover(clicks: readonly KnownClick[]): ClickRemover {
  const path = learner();
  const starts = clicks.map((click) => Math.round(click.at * EAR_RATE) - LEAD);
  const learn = (k: number, samples: Float32Array, taken: Float32Array): void => {
    const from = starts[k]!;
    if (from >= 0) path.hear(restored(samples, taken, from), clicks[k]!);
  };
  let predictions: Prediction[] = [];
  let learned = 0;
  let begun = 0;
  const advance = (samples: Float32Array, taken: Float32Array, length: Samples): void => {
    for (; begun < clicks.length && starts[begun]! <= length; begun++) {
      const whole = starts[begun]! + FRAME <= length;
      if (learned < LESSONS && !whole) break;
      if (learned === begun && whole) learn(learned++, samples, taken);
      if (path.heard() < HEARD) continue;
      predictions.push({
        from: starts[begun]!,
        click: path.predict(clicks[begun]!),
        done: 0,
      });
    }
    predictions.forEach((p) => move(p, samples, taken, length));
    predictions = predictions.filter((p) => p.done < FRAME);
    for (; learned < begun && starts[learned]! + FRAME <= length; learned++) {
      learn(learned, samples, taken);
    }
  };
  return {
    advance,
    get settledUntil() {
      return learned < LESSONS && begun < clicks.length ? starts[begun]! : Infinity;
    },
    get heard() {
      return path.heard();
    },
  };
}

/** The sound as it came, clicks included. */
function restored(samples: Float32Array, taken: Float32Array, from: Samples): Float64Array {
  const frame = new Float64Array(FRAME);
  for (let i = 0; i < FRAME; i++) frame[i] = samples[from + i]! + taken[from + i]!;
  return frame;
}

function move(p: Prediction, samples: Float32Array, taken: Float32Array, length: Samples): void {
  const end = Math.min(FRAME, length - p.from);
  for (let i = Math.max(p.done, -p.from); i < end; i++) {
    samples[p.from + i]! -= p.click[i]!;
    taken[p.from + i]! += p.click[i]!;
  }
  p.done = Math.max(p.done, end);
}

const fft = new FFT(FRAME);
const spectra = new Map<string, Float64Array>();

type ClickSound = Pick<KnownClick, 'voice' | 'timbre'>;

/** Interleaved real and imaginary parts. */
function spectrumOf({ voice, timbre }: ClickSound): Float64Array {
  const key = `${voice} ${timbre}`;
  let spectrum = spectra.get(key);
  if (!spectrum) {
    const wave = new Float64Array(FRAME);
    wave.set(renderVoice(voice, EAR_RATE, timbre).subarray(0, FRAME));
    spectra.set(key, (spectrum = transformed(wave)));
  }
  return spectrum;
}

function transformed(real: Float64Array): Float64Array {
  const out = new Float64Array(2 * FRAME);
  fft.realTransform(out, real);
  fft.completeSpectrum(out);
  return out;
}

function learner() {
  const cross = new Float64Array(2 * FRAME);
  const known = new Float64Array(FRAME);
  const shares: Share[] = [];
  let path: Float64Array | null = null;

  const hear = (frame: Float64Array, voice: ClickSound): void => {
    let energy = 0;
    for (let i = 0; i < FRAME; i++) energy += frame[i]! * frame[i]!;
    if (energy < NOTHING) return;
    const x = transformed(frame);
    const v = spectrumOf(voice);
    for (let k = 0; k < FRAME; k++) {
      const [xr, xi, vr, vi] = [x[2 * k]!, x[2 * k + 1]!, v[2 * k]!, v[2 * k + 1]!];
      cross[2 * k]! += (xr * vr + xi * vi) / energy;
      cross[2 * k + 1]! += (xi * vr - xr * vi) / energy;
      known[k]! += (vr * vr + vi * vi) / energy;
    }
    path = keptPath(cross, known);
    shares.push(explainedShare(frame, energy, predict(voice)));
  };

  /** Mean of the best three clicks: those of the count-in, or between two strokes. */
  const heard = (): Share =>
    shares
      .toSorted((a, b) => b - a)
      .slice(0, 3)
      .reduce((sum, share, _, best) => sum + share / best.length, 0);

  const predict = (voice: ClickSound): Float64Array => {
    const spectrum = product(path!, spectrumOf(voice));
    return inverse(spectrum);
  };
  return { hear, heard, predict };
}

/** The cut fades over the last 100 ms, so that it cannot be heard as a stroke. */
const LAST: Samples = 1600;

/** The path as a spectrum, after cutting its impulse response to the part that can be real. */
function keptPath(cross: Float64Array, known: Float64Array): Float64Array {
  const least = RIDGE * known.reduce((most, p) => Math.max(most, p), 0);
  const raw = new Float64Array(cross.length);
  for (let i = 0; i < raw.length; i++) raw[i] = cross[i]! / (known[i >> 1]! + least);
  const response = inverse(raw);
  for (let i = KEPT - LAST; i < KEPT; i++) response[i]! *= (KEPT - i) / LAST;
  response.fill(0, KEPT);
  return transformed(response);
}

/** How much of the frame's energy goes when the predicted click is taken out; 1 is all. */
function explainedShare(frame: Float64Array, energy: number, click: Float64Array): Share {
  let left = 0;
  for (let i = 0; i < FRAME; i++) left += (frame[i]! - click[i]!) * (frame[i]! - click[i]!);
  return Math.max(0, 1 - left / energy);
}

function product(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(a.length);
  for (let i = 0; i < a.length; i += 2) {
    out[i] = a[i]! * b[i]! - a[i + 1]! * b[i + 1]!;
    out[i + 1] = a[i]! * b[i + 1]! + a[i + 1]! * b[i]!;
  }
  return out;
}

/** Real part of the inverse transform. */
function inverse(spectrum: Float64Array): Float64Array {
  const out = new Float64Array(2 * FRAME);
  fft.inverseTransform(out, spectrum);
  const real = new Float64Array(FRAME);
  for (let i = 0; i < FRAME; i++) real[i] = out[2 * i]!;
  return real;
}
