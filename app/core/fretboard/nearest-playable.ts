// When no hand can play a chord in a tuning: says so, and offers the nearest chord that can be played.
import type { Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import { shownSymbol } from '../harmony/note-names.ts';
import { readChord } from '../harmony/read.ts';
import type { Problem } from '../base/result.ts';
import { printFrets } from './frets.ts';
import { type ShapeOptions, shapesFor } from './search.ts';
import type { Shape } from './shape.ts';

export interface NearestPlayable {
  readonly problem: Problem;
  /** The chord that can be played and its easiest shape; absent when nothing near can be. */
  readonly symbol?: string;
  readonly shape?: Shape;
}

/** Chords that keep the most of a chord: without its slash bass, then with less and less on top. */
function simpler(chord: SoundingChord): string[] {
  const slash = chord.bassPc === chord.rootPc ? '' : `/${chord.bass}`;
  const triad = ['3m', '3M'].find((third) => chord.tones.some((t) => t.interval === third));
  const minor = triad === '3m' ? 'm' : '';
  const seventh = chord.tones.some((t) => t.interval === '7m') ? '7' : '';
  const suffixes = [chord.suffix, `${minor}${seventh}`, minor, '5'];
  return [...new Set(suffixes)]
    .flatMap((suffix) => [chord.root + suffix + slash, chord.root + suffix])
    .filter((symbol) => symbol !== chord.root + chord.suffix + slash);
}

/** `problem.code` is 'no-shape'; its cure names the offered chord and shape. */
export function nearestPlayable(
  chord: SoundingChord,
  tuning: Tuning,
  options: Partial<ShapeOptions> = {},
): NearestPlayable {
  const message = `No hand can play ${shownSymbol(chord.symbol, chord.names)} in ${tuning.name} tuning.`;
  for (const symbol of simpler(chord)) {
    const read = readChord(symbol);
    if (!read.ok || read.value.kind === 'silence') continue;
    const shape = shapesFor(read.value, tuning, { ...options, most: 1 })[0];
    if (!shape) continue;
    const cure = `The nearest that can be played is ${shownSymbol(symbol, chord.names)}, for example ${printFrets(shape.frets)}.`;
    return { problem: { code: 'no-shape', message, cure }, symbol, shape };
  }
  return { problem: { code: 'no-shape', message, cure: 'Choose another chord or tuning.' } };
}
