// Hears when a string is struck: rises of the log spectrum, frame by frame, and the place of each rise between frames.
import type { Samples, Seconds, Share } from '../base/units.ts';
import { EAR_RATE } from './rate.ts';
import { analyser } from './spectrum.ts';

/** A strum is heard at the moment its first string begins to sound; see `model.ts`. */
export interface Onset {
  readonly at: Seconds;
  /** Height of the rise above its surroundings; 1 is the least that counts as a stroke, less is a faint sign of one. */
  readonly strength: number;
}

/** 46 ms windows, 5 ms apart: of 256 to 1,024 samples the longest told most strokes on the train half. */
const FRAME: Samples = 1024;
const HOP: Samples = 110;
/** Below about 400 Hz ringing strings beat; the bite of a pick lies above. */
const LOWEST_BIN = 19;
/** log10(1 + COMPRESSION · magnitude), with the recent peak level as 1. */
const COMPRESSION = 2000;
/** A frame is compared with the one three hops (15 ms) before. */
const LAG = 3;
/** Least rise above the mean of the last 100 ms; of the train half's best F. */
const LEAST_RISE = 0.034;
/** Kept for places where a stroke is due. */
const FAINTEST = 0.5;
/** Two strokes are never nearer: sixteenths at 200 bpm are 75 ms apart, the longest strum spreads 32 ms. */
const NEAREST: Seconds = 0.05;
/** The level that counts as 1 is the loudest sample of the last 6 s, and never below −40 dBFS. */
const LEVEL_MEMORY: Seconds = 6;
const LEAST_LEVEL = 0.01;
/**
 * Where on its way up a rise is placed (share of its height), and what is then to be added: half a
 * window sees the stroke coming. Median over the train half.
 */
const PLACE: Share = 0.5;
const BIAS: Seconds = 0.0077;

export interface OnsetDetector {
  /**
   * Reads all whole frames up to `length` of `samples` (at {@link EAR_RATE}, growing from call to call).
   * `clicks` is what was taken out of them: part of it is still in, and must not be heard as a stroke.
   */
  advance(samples: Float32Array, clicks: Float32Array, length: Samples): void;
  /** Onsets that can no longer change, oldest first. */
  readonly onsets: readonly Onset[];
  /** Every onset before this time is known. */
  readonly knownUntil: Seconds;
}

/** Frames that begin before the sound does would hear its start as a stroke. */
const FIRST = Math.ceil(FRAME / 2 / HOP) + LAG;
/** Frames on each side within which a rise must be the highest. */
const NEIGHBOURS = 8;
const BEFORE = 20;
const AFTER = 6;

export function onsetDetector(): OnsetDetector {
  const spectra = Array.from({ length: LAG + 1 }, () => new Float32Array(FRAME / 2 + 1));
  const rises: number[] = [];
  const level = peakFollower();
  const maskOf = clickMask();
  const onsets: Onset[] = [];
  let picked = 0;
  const advance = (samples: Float32Array, clicks: Float32Array, length: Samples): void => {
    const { magnitudes } = analyser(FRAME);
    for (;;) {
      const from = rises.length * HOP - FRAME / 2;
      if (from + FRAME > length) break;
      const now = spectra[rises.length % (LAG + 1)]!;
      now.set(magnitudes(samples, from));
      const before = spectra[(rises.length + 1) % (LAG + 1)]!;
      const scale = COMPRESSION / level(samples, from + FRAME);
      const mask = maskOf(clicks, from);
      const masked = mask ? withFloor(before, mask) : before;
      rises.push(rises.length < FIRST ? 0 : riseBetween(masked, now, scale));
    }
    for (; picked + NEIGHBOURS < rises.length; picked++) {
      const onset = pick(rises, picked);
      if (onset) keepStronger(onsets, onset);
    }
  };
  return {
    advance,
    onsets,
    get knownUntil() {
      return ((picked - NEIGHBOURS) * HOP) / EAR_RATE;
    },
  };
}

/** All onsets of a whole recording at {@link EAR_RATE}, but for its last 90 ms. */
export function findOnsets(samples: Float32Array, clicks?: Float32Array): readonly Onset[] {
  const detector = onsetDetector();
  detector.advance(samples, clicks ?? new Float32Array(samples.length), samples.length);
  return detector.onsets.filter((onset) => onset.strength >= 1);
}

/** Of two that are nearer than two strokes can be, the first counts, unless it is faint beside the second. */
function keepStronger(onsets: Onset[], onset: Onset): void {
  const last = onsets.at(-1);
  if (!last || onset.at - last.at >= NEAREST) onsets.push(onset);
  else if (last.strength < 1 && onset.strength > last.strength) onsets[onsets.length - 1] = onset;
}

/**
 * What a click left behind may lie this far below the click, and dies away in the room by 60 dB in 0.67 s: longer than
 * most rooms, since an echo taken for a stroke costs more than a stroke that falls under a click (train half).
 */
const LEFT_BEHIND: Share = 0.8;
const DYING: Share = 0.95;
/** Below this amplitude no click is left. */
const GONE = 1e-6;

/** The spectrum under which a rise may be the rest of a click, frame after frame; null while there is none. */
function clickMask(): (clicks: Float32Array, from: Samples) => Float32Array | null {
  const mask = new Float32Array(FRAME / 2 + 1);
  let loudest = 0;
  return (clicks, from) => {
    const heard = clickIn(clicks, from);
    if (!heard && loudest < GONE) return null;
    const now = heard ? analyser(FRAME).magnitudes(clicks, from) : null;
    loudest = 0;
    for (let k = 0; k < mask.length; k++) {
      mask[k] = Math.max(DYING * mask[k]!, now ? LEFT_BEHIND * now[k]! : 0);
      if (mask[k]! > loudest) loudest = mask[k]!;
    }
    return mask;
  };
}

const clickIn = (clicks: Float32Array, from: Samples): boolean => {
  for (let i = Math.max(0, from); i < from + FRAME; i += 7) if (clicks[i] !== 0) return true;
  return false;
};

const withFloor = (before: Float32Array, mask: Float32Array): Float32Array =>
  before.map((b, k) => Math.max(b, mask[k]!));

/** Mean over the bins of how far each has risen. */
function riseBetween(before: Float32Array, now: Float32Array, scale: number): number {
  let sum = 0;
  for (let k = LOWEST_BIN; k < now.length; k++) {
    const rise = now[k]! - before[k]!;
    if (rise > 0) sum += Math.log1p((scale * rise) / (1 + scale * before[k]!));
  }
  return sum / Math.LN10 / (now.length - LOWEST_BIN);
}

/** The onset of which frame `k` is the summit, if it is one. */
function pick(rises: readonly number[], k: number): Onset | null {
  if (k < FIRST + AFTER) return null;
  const height = rises[k]!;
  for (let i = k - NEIGHBOURS; i <= k + NEIGHBOURS; i++) {
    const other = rises[i] ?? 0;
    if (other > height || (other === height && i < k)) return null;
  }
  const around = rises.slice(Math.max(FIRST, k - BEFORE), k + AFTER + 1);
  const ground = around.reduce((sum, r) => sum + r, 0) / around.length;
  const strength = (height - ground) / LEAST_RISE;
  return strength < FAINTEST ? null : { at: placeOf(rises, k, ground), strength };
}

/** Going back from the summit, the time at which the rise passed {@link PLACE} of its height. */
function placeOf(rises: readonly number[], k: number, ground: number): Seconds {
  const wanted = ground + PLACE * (rises[k]! - ground);
  let i = k;
  while (i > 0 && k - i < NEIGHBOURS && rises[i - 1]! > wanted) i--;
  const above = rises[i]!;
  const below = rises[i - 1] ?? 0;
  const share = above > below ? (above - wanted) / (above - below) : 0;
  return ((i - Math.max(0, Math.min(1, share))) * HOP) / EAR_RATE + BIAS;
}

/** Loudest sample of the last seconds, kept in half-second blocks. */
function peakFollower(): (samples: Float32Array, until: Samples) => number {
  const block = EAR_RATE / 2;
  const peaks: number[] = [];
  let read = 0;
  return (samples, until) => {
    for (; read < until; read++) {
      const b = Math.floor(read / block);
      peaks[b] = Math.max(peaks[b] ?? 0, Math.abs(samples[read]!));
    }
    return Math.max(LEAST_LEVEL, ...peaks.slice(-2 * LEVEL_MEMORY));
  };
}
