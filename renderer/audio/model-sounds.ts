// The model guitar of a lap as sounds of one second each, mixed from plucked strings when they are due.
import { frameAt } from '../../app/core/sound/frames.ts';
import { type Plucks, guitarEnd, mixGuitar } from '../../app/core/sound/guitar.ts';
import type { StringNote } from '../../app/core/sound/strum-notes.ts';
import type { Seconds } from '../../app/core/base/units.ts';
import type { Engine } from './engine.ts';
import type { TimedSound } from './lap-sources.ts';

const PIECE: Seconds = 1;

/** Pieces follow one another to the sample, so that a string rings through from one to the next. */
export function modelSounds(
  engine: Engine,
  plucks: Plucks,
  notes: readonly StringNote[],
): readonly TimedSound[] {
  const rate = plucks.sampleRate;
  const size = frameAt(PIECE, rate);
  const pieces = Math.ceil(frameAt(guitarEnd(notes), rate) / size);
  return Array.from({ length: pieces }, (_, i) => ({
    seconds: (i * size) / rate,
    level: 'model',
    member: 'chords',
    buffer: () => {
      const buffer = engine.native.createBuffer(1, size, rate);
      mixGuitar(buffer.getChannelData(0), i * size, notes, plucks);
      return buffer;
    },
  }));
}

/** Makes every string of the notes, letting the page breathe after each. */
export async function makePlucks(plucks: Plucks, notes: readonly StringNote[]): Promise<void> {
  for (const note of notes) {
    if (plucks.has(note)) continue;
    plucks.get(note);
    await new Promise((next) => setTimeout(next, 0));
  }
}
