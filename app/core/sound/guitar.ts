// Mixes plucked strings into samples, stretch by stretch; every stretch can be made on its own.
import type { Gain, Midi, SampleRate, Samples, Seconds } from '../base/units.ts';
import { frameAt } from './frames.ts';
import { renderPluck } from './pluck.ts';
import type { StringNote } from './strum-notes.ts';

/** One string at full stroke; six together, rarely in phase, then stay near 1. */
const STRING_GAIN: Gain = 0.35;
/** A stopped string fades this long, so that it does not tick. */
const STOP_FADE: Seconds = 0.012;

/** Plucked strings at one sample rate, each made when first needed and kept. */
export class Plucks {
  readonly sampleRate: SampleRate;
  readonly #made = new Map<string, Float32Array>();

  constructor(sampleRate: SampleRate) {
    this.sampleRate = sampleRate;
  }

  has = (midi: Midi, muted: boolean): boolean => this.#made.has(keyOf(midi, muted));

  get(midi: Midi, muted: boolean): Float32Array {
    const key = keyOf(midi, muted);
    const made = this.#made.get(key) ?? renderPluck(midi, this.sampleRate, muted);
    this.#made.set(key, made);
    return made;
  }
}

const keyOf = (midi: Midi, muted: boolean): string => `${midi} ${muted}`;

/**
 * Adds to `out`, which holds the lap's frames from `from` on, whatever the notes sound there.
 * Notes are sorted by time.
 */
export function mixGuitar(
  out: Float32Array,
  from: Samples,
  notes: readonly StringNote[],
  plucks: Plucks,
): void {
  const rate = plucks.sampleRate;
  for (const note of notes) {
    const start = frameAt(note.seconds, rate);
    if (start >= from + out.length) return;
    const end = frameAt(note.until + STOP_FADE, rate);
    if (end > from) mixNote(out, start - from, end - from, note, plucks);
  }
}

/** When the last string has faded; 0 without notes. */
export const guitarEnd = (notes: readonly StringNote[]): Seconds =>
  notes.reduce((latest, note) => Math.max(latest, note.until + STOP_FADE), 0);

/** `start` and `end` are frames of `out`, perhaps outside it. */
function mixNote(
  out: Float32Array,
  start: Samples,
  end: Samples,
  note: StringNote,
  plucks: Plucks,
) {
  const samples = plucks.get(note.midi, note.muted);
  const gain = note.gain * STRING_GAIN;
  const last = Math.min(end, start + samples.length, out.length);
  const fade = Math.round(STOP_FADE * plucks.sampleRate);
  const fadeFrom = Math.min(last, Math.max(0, end - fade));
  for (let i = Math.max(0, start); i < fadeFrom; i++) out[i]! += gain * samples[i - start]!;
  for (let i = Math.max(0, start, fadeFrom); i < last; i++) {
    out[i]! += (gain * samples[i - start]! * (end - i)) / fade;
  }
}
