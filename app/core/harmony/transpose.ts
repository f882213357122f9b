// Moves chord symbols by semitones with the spelling their key asks for.
import type { Result } from '../base/result.ts';
import { ok } from '../base/result.ts';
import type { NoteName, SoundingChord } from '../model/chord.ts';
import { keyOf, spellIn, transposeKey } from './key.ts';
import type { Key } from './key.ts';
import { fifthsOf, noteAtFifths, pitchClassOf } from './notes.ts';
import { symbolFrom } from './print.ts';
import { readChord, splitSymbol } from './read.ts';

/** Spellings that charts print: C♭ (−7 fifths) to A♯ (10). E♯, B♯, F♭ and double signs are respelled. */
const FLATTEST = -7;
const SHARPEST = 10;

const isMinor = (chord: SoundingChord): boolean => chord.tones.some((t) => t.interval === '3m');

/** The key in which a chord is at home; it decides spelling where a chart names no key. */
const homeKey = (chord: SoundingChord): Key =>
  keyOf(chord.root, isMinor(chord) ? 'minor' : 'major');

function moveNote(note: NoteName, from: Key, to: Key, semitones: number): NoteName {
  const fifths = fifthsOf(note) + fifthsOf(to.tonic) - fifthsOf(from.tonic);
  if (fifths >= FLATTEST && fifths <= SHARPEST) return noteAtFifths(fifths);
  return spellIn(to, (((pitchClassOf(note) + semitones) % 12) + 12) % 12);
}

/**
 * The symbol `semitones` higher (negative: lower). What was typed after the root is kept, so "A−7"
 * becomes "B−7". `key` is the key before the move; without it every chord is spelled as in its own
 * home key. Fails as {@link readChord} does. ASCII accidentals.
 */
export function transposeSymbol(symbol: string, semitones: number, key?: Key): Result<string> {
  const read = readChord(symbol);
  if (!read.ok) return read;
  const parts = splitSymbol(symbol);
  if (read.value.kind === 'silence' || !parts) return ok(symbol);
  const from = key ?? homeKey(read.value);
  const to = semitones % 12 === 0 ? from : transposeKey(from, semitones);
  const root = moveNote(parts.root, from, to, semitones);
  const bass = parts.bass && moveNote(parts.bass, from, to, semitones);
  return ok(symbolFrom({ root, suffix: parts.suffix, bass }));
}
