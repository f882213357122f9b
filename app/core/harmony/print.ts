// Writes a chord in the one house spelling, however it was typed.
import type { Chord, NoteName, NoteNames } from '../model/chord.ts';
import { pretty } from './notes.ts';

/** German names of notes that are not built by rule; see {@link NoteNames}. */
const GERMAN: ReadonlyMap<NoteName, string> = new Map([
  ['B', 'H'],
  ['Bb', 'B'],
  ['Bbb', 'Heses'],
  ['B#', 'His'],
  ['Eb', 'Es'],
  ['Ab', 'As'],
]);

export function printNote(note: NoteName, names: NoteNames = 'international'): string {
  if (names === 'international') return note;
  const built = note[0] + note.slice(1).replace(/#/g, 'is').replace(/b/g, 'es');
  return GERMAN.get(note) ?? built;
}

/** "Cmaj7" for "CΔ", "G9" for "G7(9)", "D/F#"; ASCII. Silence is "N.C."; what cannot be read stays as typed. */
export function printChord(chord: Chord, names: NoteNames = 'international'): string {
  if (chord.kind === 'silence') return 'N.C.';
  if (chord.kind === 'unread') return chord.symbol;
  // "Cb5" would be C flat: an alteration right after the root stands in brackets.
  const quality = /^[b#]/.test(chord.quality) ? `(${chord.quality})` : chord.quality;
  const bass = chord.bass === chord.root ? '' : `/${printNote(chord.bass, names)}`;
  return printNote(chord.root, names) + quality + bass;
}

/** The same for the eye, with the trade's signs: "B♭m7♭5/G♭". */
export const shownChord = (chord: Chord, names: NoteNames = 'international'): string =>
  pretty(printChord(chord, names));
