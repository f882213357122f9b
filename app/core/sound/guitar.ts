// Mixes plucked strings into samples, stretch by stretch; every stretch can be made on its own.
import type { Gain, SampleRate, Samples, Seconds, Semitones } from '../base/units.ts';
import { frameAt } from './frames.ts';
import { type Held, renderPluck } from './pluck.ts';
import type { StringNote } from './strum-notes.ts';

/** One string at full stroke; six together, rarely in phase, then stay near 1. */
const STRING_GAIN: Gain = 0.235;
/** A stopped string fades this long, so that it does not tick. */
const STOP_FADE: Seconds = 0.012;

/** Plucked strings at one sample rate, each made when first needed and kept. */
export class Plucks {
  readonly sampleRate: SampleRate;
  readonly #made = new Map<string, Float32Array>();

  constructor(sampleRate: SampleRate) {
    this.sampleRate = sampleRate;
  }

  has = (note: Plucked): boolean => this.#made.has(keyOf(note));

  get(note: Plucked): Float32Array {
    const key = keyOf(note);
    const made = this.#made.get(key) ?? renderPluck(note.midi, this.sampleRate, heldOf(note));
    this.#made.set(key, made);
    return made;
  }
}

type Plucked = Pick<StringNote, 'midi' | 'muted' | 'damped'>;

const heldOf = ({ muted, damped }: Plucked): Held => (muted ? 'muted' : damped ? 'damped' : 'open');

const keyOf = (note: Plucked): string => `${note.midi} ${heldOf(note)}`;

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

/** So long the hand is on its way (ours). */
const SLIDE_TIME: Seconds = 0.11;

/** The string from `below` semitones lower, gliding evenly up to its own pitch; then as it is. */
function slidInto(samples: Float32Array, below: Semitones, rate: SampleRate): Float32Array {
  const glide = Math.min(samples.length, Math.round(SLIDE_TIME * rate));
  const places = new Float64Array(glide + 1);
  for (let i = 0; i < glide; i++) {
    places[i + 1] = places[i]! + 2 ** ((-below * (1 - i / glide)) / 12);
  }
  const late = glide - Math.round(places[glide]!);
  return samples.map((_, i) => {
    if (i >= glide) return samples[i - late]!;
    const at = places[i]!;
    const whole = Math.floor(at);
    return samples[whole]! + (at - whole) * ((samples[whole + 1] ?? 0) - samples[whole]!);
  });
}

/** `start` and `end` are frames of `out`, perhaps outside it. */
function mixNote(
  out: Float32Array,
  start: Samples,
  end: Samples,
  note: StringNote,
  plucks: Plucks,
) {
  const plucked = plucks.get(note);
  const samples = note.slide ? slidInto(plucked, note.slide, plucks.sampleRate) : plucked;
  const gain = note.gain * STRING_GAIN;
  const last = Math.min(end, start + samples.length, out.length);
  const fade = Math.round(STOP_FADE * plucks.sampleRate);
  const fadeFrom = Math.min(last, Math.max(0, end - fade));
  for (let i = Math.max(0, start); i < fadeFrom; i++) out[i]! += gain * samples[i - start]!;
  for (let i = Math.max(0, start, fadeFrom); i < last; i++) {
    out[i]! += (gain * samples[i - start]! * (end - i)) / fade;
  }
}
