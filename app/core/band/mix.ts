// Mixes drums or bass of a lap into samples, stretch by stretch, from sounds rendered before; the player and files alike.
import type { Samples, Seconds } from '../base/units.ts';
import { addSamples } from '../sound/add-samples.ts';
import { frameAt } from '../sound/frames.ts';
import { lastAtOrBefore } from '../timeline/search.ts';
import { BASS_LOW, type BandKit, type BassNote, type DrumHit } from './model.ts';

/** A stopped string fades this long, so that it does not tick. */
const STOP_FADE: Seconds = 0.015;

/** Adds to `out`, which holds the frames from `from` on, what the drums sound there. Hits are sorted by time. */
export function mixDrums(
  out: Float32Array,
  from: Samples,
  hits: readonly DrumHit[],
  { sampleRate, drums }: BandKit,
): void {
  const longest = Math.max(...Object.values(drums).map((samples) => samples.length));
  const first = lastAtOrBefore(
    hits,
    ({ seconds }) => frameAt(seconds, sampleRate) - (from - longest),
  );
  for (let i = first + 1; i < hits.length; i++) {
    const { seconds, voice, gain } = hits[i]!;
    const start = frameAt(seconds, sampleRate) - from;
    if (start >= out.length) return;
    addSamples(out, start, drums[voice], gain);
  }
}

/** The same for the bass; a note is cut where it is stopped. */
export function mixBass(
  out: Float32Array,
  from: Samples,
  notes: readonly BassNote[],
  { sampleRate, bass }: BandKit,
): void {
  const fade = Math.round(STOP_FADE * sampleRate);
  for (const note of notes) {
    const start = frameAt(note.seconds, sampleRate) - from;
    if (start >= out.length) return;
    const end = frameAt(note.until, sampleRate) - from + fade;
    if (end <= 0) continue;
    const samples = bass[note.midi - BASS_LOW]!;
    const last = Math.min(out.length, end, start + samples.length);
    for (let k = Math.max(0, start); k < last; k++) {
      const held = Math.min(1, (end - k) / fade);
      out[k]! += note.gain * held * samples[k - start]!;
    }
  }
}

/** When the last sound of the drums, or of the bass, has died away; 0 where there is none. */
export const drumsEnd = (hits: readonly DrumHit[], { sampleRate, drums }: BandKit): Seconds =>
  hits.reduce((end, hit) => Math.max(end, hit.seconds + drums[hit.voice].length / sampleRate), 0);

/** When the last note has faded, in seconds from the start of the lap; 0 without notes. */
export const bassEnd = (notes: readonly BassNote[]): Seconds =>
  notes.reduce((end, note) => Math.max(end, note.until + STOP_FADE), 0);
