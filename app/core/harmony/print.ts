// Writes a chord in the one house spelling, however it was typed.
import type { Chord, NoteName, NoteNames } from '../model/chord.ts';
import { pretty, printNote } from './notes.ts';

/** What a symbol consists of: "Am7/G" of A, "m7" and G. */
export interface SymbolParts {
  readonly root: NoteName;
  readonly suffix: string;
  readonly bass?: NoteName | undefined;
}

/** "Cmaj7" for "CΔ", "G9" for "G7(9)", "D/F#"; ASCII. Silence is "N.C."; what cannot be read stays as typed. */
export function printChord(chord: Chord, names: NoteNames = 'international'): string {
  if (chord.kind === 'silence') return 'N.C.';
  if (chord.kind === 'unread') return chord.symbol;
  const bass = chord.bass === chord.root ? undefined : chord.bass;
  return symbolFrom({ root: chord.root, suffix: chord.quality, bass }, names);
}

/** A symbol from its three parts. "Cb5" would be C flat, and "Abb5" A flat: what would be read so stands in brackets. */
export function symbolFrom(
  { root, suffix, bass }: SymbolParts,
  names: NoteNames = 'international',
): string {
  const joins = /^[b#]/.test(suffix) || (root.endsWith('bb') && suffix.startsWith('5'));
  const after = joins ? suffix.replace(/^[b#]?\d+/, '($&)') : suffix;
  return printNote(root, names) + after + (bass === undefined ? '' : `/${printNote(bass, names)}`);
}

/** The same for the eye, with the trade's signs and in the names of the chord's chart: "B♭m7♭5/G♭", in German "Bm7♭5/Ges". */
export const shownChord = (chord: Chord): string =>
  pretty(printChord(chord, chord.kind === 'chord' ? chord.names : undefined));
