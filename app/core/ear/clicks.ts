// Takes the program's own clicks out of what the microphone heard: it knows how they sound, and when.
import FFT from 'fft.js';
import { renderVoice } from '../sound/voices.ts';
import type { ClickVoice } from '../sound/voices.ts';
import type { Samples, Seconds, Share } from '../units.ts';
import { EAR_RATE } from './rate.ts';

/** One click, at the time at which it would be heard if the loudspeaker touched the microphone. */
export interface KnownClick {
  readonly at: Seconds;
  readonly voice: ClickVoice;
}

export interface ClickRemover {
  /**
   * Moves every click that `samples` holds whole into `clicks`, which is as long; those near `length` wait.
   */
  advance(samples: Float32Array, clicks: Float32Array, length: Samples): void;
  /** Nothing before this sample will be changed any more. */
  readonly settledUntil: Samples;
  /** Share of the sound around the clicks that they explain; they are taken out from {@link HEARD} on. */
  readonly heard: Share;
}

/** 0.19 s from 3 ms before a click: all that can be told of the longest voice, whose last part is faint. */
const FRAME: Samples = 4096;
const LEAD: Samples = 66;
/** Of the way to the microphone, delay and reflections: 75 ms are kept, the rest is chance. */
const KEPT: Samples = LEAD + 1654;
/** Where a voice has less than this share of its loudest partial's power, it teaches nothing (train half). */
const RIDGE: Share = 1e-7;
/** Less energy than this in a whole frame is digital silence, of which nothing can be learned. */
const NOTHING = 1e-7;
/** Below this share the clicks stay in headphones, and nothing is subtracted. */
const HEARD: Share = 0.4;

/**
 * Loudspeaker, room and microphone are one linear path that stays as it is during a pass. Its transfer
 * function is the sum over the clicks so far of (heard × conjugate of known) over known power, each click
 * weighted by one over the loudness around it: the count-in, where nothing else sounds, teaches most.
 */
export function clickRemover(clicks: readonly KnownClick[]): ClickRemover {
  const path = learner();
  let done = 0;
  const startOf = (click: KnownClick): Samples => Math.round(click.at * EAR_RATE) - LEAD;
  const advance = (samples: Float32Array, out: Float32Array, length: Samples): void => {
    for (; done < clicks.length; done++) {
      const from = startOf(clicks[done]!);
      if (from + FRAME > length) return;
      if (from >= 0) path.hear(samples, from, clicks[done]!.voice);
      if (path.heard() >= HEARD) move(samples, out, from, path.predict(clicks[done]!.voice));
    }
  };
  return {
    advance,
    get settledUntil() {
      return done < clicks.length ? startOf(clicks[done]!) : Infinity;
    },
    get heard() {
      return path.heard();
    },
  };
}

function move(samples: Float32Array, out: Float32Array, from: Samples, click: Float64Array): void {
  for (let i = Math.max(0, -from); i < FRAME; i++) {
    samples[from + i]! -= click[i]!;
    out[from + i]! += click[i]!;
  }
}

const fft = new FFT(FRAME);
const spectra = new Map<ClickVoice, Float64Array>();

/** Interleaved real and imaginary parts. */
function spectrumOf(voice: ClickVoice): Float64Array {
  let spectrum = spectra.get(voice);
  if (!spectrum) {
    const wave = new Float64Array(FRAME);
    wave.set(renderVoice(voice, EAR_RATE).subarray(0, FRAME));
    spectra.set(voice, (spectrum = transformed(wave)));
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

  const hear = (samples: Float32Array, from: Samples, voice: ClickVoice): void => {
    const frame = Float64Array.from(samples.subarray(from, from + FRAME));
    const energy = frame.reduce((sum, x) => sum + x * x, 0);
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

  const predict = (voice: ClickVoice): Float64Array => {
    const spectrum = product(path!, spectrumOf(voice));
    return inverse(spectrum);
  };
  return { hear, heard, predict };
}

/** The path as a spectrum, after cutting its impulse response to the part that can be real. */
function keptPath(cross: Float64Array, known: Float64Array): Float64Array {
  const least = RIDGE * known.reduce((most, p) => Math.max(most, p), 0);
  const raw = cross.map((c, i) => c / (known[i >> 1]! + least));
  const response = inverse(raw);
  response.fill(0, KEPT);
  return transformed(response);
}

/** How much of the frame's energy goes when the predicted click is taken out; 1 is all. */
function explainedShare(frame: Float64Array, energy: number, click: Float64Array): Share {
  const left = frame.reduce((sum, x, i) => sum + (x - click[i]!) ** 2, 0);
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
  return Float64Array.from({ length: FRAME }, (_, i) => out[2 * i]!);
}
