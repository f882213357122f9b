// Chord symbols in words, for screen readers.
import type { Chord, NoteName } from '../model/chord.ts';
import { printNote, sayNote } from './notes.ts';
import { qualityNamed } from './vocabulary.ts';

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
  const quality = qualityNamed(chord.quality)?.said ?? spellOut(chord.quality);
  const said = (note: NoteName): string =>
    chord.names === 'german' ? printNote(note, 'german') : sayNote(note);
  const bass = chord.bassPc === chord.rootPc ? '' : `, ${said(chord.bass)} in the bass`;
  return `${said(chord.root)} ${quality}${bass}`;
}
