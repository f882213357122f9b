// What the network is shown of the sound: frames on a fixed grid, each computed once, cut into patches around a moment.
//
// Defined in tests/bench/ear-training/features.py; low tones are read from slower streams, which changes nothing else.
import type { Cents, Samples, Seconds } from '../base/units.ts';
import { emptyPatch } from './network/network.ts';
import { FAST, type Patch, SLOW } from './network/shape.ts';
import { EAR_RATE } from './rate.ts';
import { powerSpectrum, quarterOf } from './spectra.ts';

/** The slow grid; a reference moment is one of its frames. */
const GRID: Samples = SLOW.hop * EAR_RATE;
const FAST_HOP: Samples = FAST.hop * EAR_RATE;
/** Fast frames of one slow one. */
const FASTER = GRID / FAST_HOP;
/** 10^(−60/10) is the floor of the scale. */
const DECADES = 6;
const LEAST = 1e-12;

export interface Frames {
  /** Of `samples` at the ear's rate the first `length` will not change any more. */
  advance(samples: Float32Array, length: Samples): void;
  /**
   * The patch around the reference moment nearest to `at`. Slow frames are shown until `until`, fast ones until
   * {@link FAST_REACH} later; both must have come. The arrays are filled anew by the next call.
   */
  patch(at: Seconds, until: Seconds): Patch & { readonly reference: Seconds };
  /** Powers of a fast frame; see {@link fastTimes}. */
  fast(frame: number): Float32Array;
  /** Powers of the thirds of a semitone from MIDI 35 up. */
  slow(frame: number): Float32Array;
  /** How far from A4 = 440 Hz the thirds of a semitone lie; 0 at first. */
  readonly tuning: Cents;
  /** Lays them anew where the guitar lies elsewhere. */
  tune(tuning: Cents): void;
}

/** A guitar this near to where it was thought is left there. */
const NEAR_ENOUGH: Cents = 6;

/** Fast frames are shown so much longer than slow ones, whose windows are longer. */
export const FAST_REACH: Seconds = 0.12;
/** So much sound after its middle a slow frame needs: half of the longest window and the filters before it. */
export const SLOW_NEEDS: Seconds = 0.128 + 0.0105;

/** The number of the fast frame at a time. */
export const fastFrameAt = (at: Seconds): number => Math.round(at / FAST.hop);

/** The number of the slow frame at a time. */
export const slowFrameAt = (at: Seconds): number => Math.round(at / SLOW.hop);

/** Frames of a recording from its first sample on; each is computed when it is first asked for. */
export function soundFrames(): Frames {
  const quarter = quarterOf();
  const sixteenth = quarterOf();
  const slowFrames = frameStore(SLOW.bins);
  const fastFrames = frameStore(FAST.channels);
  let tuning: Cents = 0;
  let bands = slowBands(tuning);
  const fastOf = fastBands();
  let whole: Float32Array = new Float32Array(0);
  const { slow: slowPart, fast: fastPart } = emptyPatch();

  const slow = (frame: number): Float32Array => {
    let powers = slowFrames.get(frame);
    if (!powers) {
      powers = slowFrames.room(frame);
      const middle = frame * GRID;
      bands[0]!(sixteenth.samples.subarray(0, sixteenth.length), middle / 16, powers);
      bands[1]!(quarter.samples.subarray(0, quarter.length), middle / 4, powers);
      bands[2]!(whole, middle, powers);
    }
    return powers;
  };
  const fast = (frame: number): Float32Array => {
    let powers = fastFrames.get(frame);
    if (!powers) fastOf(whole, frame * FAST_HOP, (powers = fastFrames.room(frame)));
    return powers;
  };
  return {
    advance: (samples, length) => {
      whole = samples.subarray(0, length);
      quarter.advance(whole, length);
      sixteenth.advance(quarter.samples, quarter.length);
    },
    slow,
    fast,
    get tuning() {
      return tuning;
    },
    tune: (cents) => {
      if (Math.abs(cents - tuning) <= NEAR_ENOUGH) return;
      tuning = cents;
      bands = slowBands(tuning);
      slowFrames.clear();
    },
    patch: (at, until) => {
      const reference = slowFrameAt(at);
      const from = reference + Math.round(SLOW.first / SLOW.hop);
      const frames = Math.max(0, Math.min(SLOW.frames, shown(until, from, SLOW.hop)));
      copyScaled(slow, from, frames, slowPart, [SLOW.bins]);
      const fastFrom = reference * FASTER + Math.round(FAST.first / FAST.hop);
      const fastShown = shown(until + FAST_REACH, fastFrom, FAST.hop);
      copyScaled(fast, fastFrom, Math.max(0, Math.min(FAST.frames, fastShown)), fastPart, [
        FAST.bands,
        FAST.fine / 2,
        FAST.fine / 2,
      ]);
      return { slow: slowPart, fast: fastPart, frames, reference: reference * SLOW.hop };
    },
  };
}

/** So many frames share one stretch of memory: a small array each costs more than what is computed into it. */
const TOGETHER = 128;

/** Frames of `size` numbers, each once. */
function frameStore(size: number) {
  const frames = new Map<number, Float32Array>();
  let stretch = new Float32Array(0);
  let taken = TOGETHER;
  return {
    get: (frame: number): Float32Array | undefined => frames.get(frame),
    /** Room for a frame that is not there yet, zeros, to be filled at once. */
    room: (frame: number): Float32Array => {
      if (taken === TOGETHER) {
        stretch = new Float32Array(TOGETHER * size);
        taken = 0;
      }
      const room = stretch.subarray(taken * size, (taken + 1) * size);
      taken++;
      frames.set(frame, room);
      return room;
    },
    clear: (): void => frames.clear(),
  };
}

/** How many frames from `from` on lie before `until`. */
const shown = (until: Seconds, from: number, hop: Seconds): number =>
  Math.ceil(until / hop - 1e-6) - from;

/** Frames one after the other, each group of channels from 1 at its loudest place down to 0 at −60 dB. */
function copyScaled(
  frameOf: (frame: number) => Float32Array,
  from: number,
  count: number,
  out: Float32Array,
  groups: readonly number[],
): void {
  const channels = groups.reduce((sum, size) => sum + size, 0);
  const frames = Array.from({ length: count }, (_, f) => frameOf(from + f));
  let first = 0;
  for (const size of groups) {
    let top = 0;
    for (const frame of frames)
      for (let c = first; c < first + size; c++) top = Math.max(top, frame[c]!);
    top += LEAST;
    const floor = top * (10 ** -DECADES - 1e-9);
    frames.forEach((frame, f) => {
      for (let c = first; c < first + size; c++) {
        const power = frame[c]!;
        const value = power > floor ? Math.log10(power / top + 1e-9) / DECADES + 1 : 0;
        out[f * channels + c] = Math.min(1, value);
      }
    });
    first += size;
  }
  out.fill(0, count * channels);
}

const frequencyOf = (bin: number): number =>
  440 * 2 ** ((SLOW.lowest + bin / SLOW.perSemitone - 69) / 12);

/** Width of the window at the ear's rate, how much slower the stream is, and from which frequency on it serves. */
const WINDOWS = [
  { width: 4096, slower: 16, from: 0 },
  { width: 2048, slower: 4, from: 330 },
  { width: 1024, slower: 1, from: 1400 },
] as const;

/** Fills its part of a frame's bins from the frame around `middle`. */
type Band = (samples: Float32Array, middle: Samples, powers: Float32Array) => void;

function slowBands(tuning: Cents): Band[] {
  const tuned = 2 ** (tuning / 1200);
  return WINDOWS.map(({ width, slower, from }, i) => {
    const to = WINDOWS[i + 1]?.from ?? Infinity;
    const size = width / slower;
    const spectrum = powerSpectrum(size, 2 * size);
    const triangles = Array.from({ length: SLOW.bins }, (_, bin) => bin)
      .filter((bin) => frequencyOf(bin) >= from && frequencyOf(bin) < to)
      .map((bin) => ({
        bin,
        ...triangleAt(tuned * frequencyOf(bin), EAR_RATE / (2 * width), size),
      }));
    return (samples, middle, powers) => {
      const power = spectrum(samples, Math.round(middle) - size / 2);
      for (const { bin, first, weights } of triangles)
        powers[bin] = weighted(power, first, weights);
    };
  });
}

/** A third of a semitone wide, or one line to each side where lines lie farther apart; none beyond the `highest`. */
function triangleAt(frequency: number, line: number, highest: number) {
  const half = Math.max(frequency * (2 ** (1 / 36) - 1), line);
  const first = Math.ceil((frequency - half) / line);
  const last = Math.min(highest, Math.floor((frequency + half) / line));
  const raw = Array.from({ length: Math.max(0, last - first + 1) }, (_, i) =>
    Math.max(0, 1 - Math.abs((first + i) * line - frequency) / half),
  );
  const sum = raw.reduce((a, b) => a + b, 0);
  return { first, weights: Float64Array.from(raw, (w) => w / sum) };
}

function weighted(power: Float64Array, first: number, weights: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) sum += weights[i]! * power[first + i]!;
  return sum;
}

const FAST_WINDOW: Samples = 256;

/** Bands of a 16 ms window, then energies of four millisecond blocks and of their differences. */
function fastBands(): Band {
  const spectrum = powerSpectrum(FAST_WINDOW, FAST_WINDOW);
  const bands = bandWeights();
  const block = FAST_HOP / 4;
  return (samples, middle, powers) => {
    const power = spectrum(samples, middle - FAST_WINDOW / 2);
    for (let band = 0; band < FAST.bands; band++) {
      const { first, weights } = bands[band]!;
      powers[band] = weighted(power, first, weights);
    }
    for (let b = 0; b < 4; b++) {
      const from = middle - FAST_HOP / 2 + b * block;
      let before = samples[from - 1] ?? 0;
      let [own, change] = [0, 0];
      for (let at = from; at < from + block; at++) {
        const now = samples[at] ?? 0;
        own += now * now;
        change += (now - before) * (now - before);
        before = now;
      }
      powers[FAST.bands + b] = own / block;
      powers[FAST.bands + FAST.fine / 2 + b] = change / block;
    }
  };
}

/** Of each band the first line that it takes in, and the weights from there. */
function bandWeights() {
  const edge = (i: number): number => 80 * (7600 / 80) ** (i / FAST.bands);
  return Array.from({ length: FAST.bands }, (_, band) => {
    const [low, high] = [edge(band), edge(band + 1)];
    const width = Math.max(Math.log2(high / low), 40 / low);
    const raw = Float64Array.from({ length: FAST_WINDOW / 2 + 1 }, (_, k) => {
      const f = (k * EAR_RATE) / FAST_WINDOW + 20;
      return Math.max(0, 1 - Math.abs(Math.log2(f / Math.sqrt(low * high))) / width);
    });
    const sum = raw.reduce((a, b) => a + b, 0);
    const first = raw.findIndex((w) => w > 0);
    const last = raw.findLastIndex((w) => w > 0);
    return { first, weights: raw.slice(first, last + 1).map((w) => w / sum) };
  });
}
