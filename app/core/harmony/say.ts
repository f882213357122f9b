// Chord symbols in words, for screen readers.
import type { Chord } from '../model/chord.ts';
import { sayNote } from './notes.ts';

/** Common names of qualities; the rest is spelled out sign by sign. */
const WORDS: ReadonlyMap<string, string> = new Map([
  ['', 'major'],
  ['m', 'minor'],
  ['7', 'seventh'],
  ['maj7', 'major seventh'],
  ['m7', 'minor seventh'],
  ['m7b5', 'half diminished'],
  ['dim', 'diminished'],
  ['dim7', 'diminished seventh'],
  ['aug', 'augmented'],
  ['sus4', 'suspended fourth'],
  ['sus2', 'suspended second'],
  ['7sus4', 'seventh suspended fourth'],
  ['6', 'sixth'],
  ['m6', 'minor sixth'],
  ['6/9', 'six nine'],
  ['9', 'ninth'],
  ['maj9', 'major ninth'],
  ['m9', 'minor ninth'],
  ['add9', 'add nine'],
  ['madd9', 'minor add nine'],
  ['m(maj7)', 'minor, major seventh'],
  ['5', 'power chord'],
]);

const spellOut = (quality: string): string =>
  quality
    .replace(/maj/g, ' major ')
    .replace(/m(?!ajor)/g, ' minor ')
    .replace(/b(?=\d)/g, ' flat ')
    .replace(/#/g, ' sharp ')
    .replace(/[()]/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();

/** "C sharp minor seventh, E in the bass"; "no chord" for N.C. */
export function sayChord(chord: Chord): string {
  if (chord.kind === 'silence') return 'no chord';
  if (chord.kind === 'unread') return chord.symbol;
  const quality = WORDS.get(chord.quality) ?? spellOut(chord.quality);
  const bass = chord.bassPc === chord.rootPc ? '' : `, ${sayNote(chord.bass)} in the bass`;
  return `${sayNote(chord.root)} ${quality}${bass}`;
}
