// Writes a chord in the one house spelling, however it was typed.
import type { Chord, NoteNames } from '../model/chord.ts';
import { pretty, printNote } from './notes.ts';

/** "Cmaj7" for "CΔ", "G9" for "G7(9)", "D/F#"; ASCII. Silence is "N.C."; what cannot be read stays as typed. */
export function printChord(chord: Chord, names: NoteNames = 'international'): string {
  if (chord.kind === 'silence') return 'N.C.';
  if (chord.kind === 'unread') return chord.symbol;
  // "Cb5" would be C flat: an alteration right after the root stands in brackets.
  const quality = /^[b#]/.test(chord.quality) ? `(${chord.quality})` : chord.quality;
  const bass = chord.bass === chord.root ? '' : `/${printNote(chord.bass, names)}`;
  return printNote(chord.root, names) + quality + bass;
}

/** The same for the eye, with the trade's signs and in the names of the chord's chart: "B♭m7♭5/G♭", in German "Bm7♭5/Ges". */
export const shownChord = (chord: Chord): string =>
  pretty(printChord(chord, chord.kind === 'chord' ? chord.names : undefined));
