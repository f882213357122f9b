// Chords for tests, read from their symbols.
import type { SoundingChord } from '../../app/core/model/chord.ts';
import { chordOf } from '../../app/core/harmony/read.ts';

/** @throws Error for a symbol that is no chord. */
export function chordNamed(symbol: string): SoundingChord {
  const chord = chordOf(symbol);
  if (chord.kind !== 'chord') throw new Error(`‘${symbol}’ is no chord`);
  return chord;
}
