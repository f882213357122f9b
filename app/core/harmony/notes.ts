// Note names and pitch classes: reading, arithmetic on the line of fifths, and spoken names.
import { Note } from 'tonal';
import type { PitchClass } from '../base/units.ts';
import type { NoteName, NoteNames } from '../model/chord.ts';

/** Letters, digits and signs set small above or below the line, or as wide as an ideograph. */
const SET_OTHERWISE = /[²³¹ʰ-ʸᴬ-ᵪ⁰-₎！-～]/gu;
/** What shows nothing: joiners, marks of direction, selectors of a glyph. */
const INVISIBLE = /[\u200B-\u200F\u2060\uFE0E\uFE0F\uFEFF]/gu;

/** "F♯" → "F#", "B♭" → "Bb", "C⁷" → "C7"; the minus signs of typesetting become a hyphen. */
export const toAscii = (text: string): string =>
  text
    .replace(INVISIBLE, '')
    .replace(SET_OTHERWISE, (sign) => sign.normalize('NFKC'))
    .replace(/♯/g, '#')
    .replace(/♭/g, 'b')
    .replace(/𝄪/gu, '##')
    .replace(/𝄫/gu, 'bb')
    .replace(/(?<=(?:^|\/)\s*[A-Ha-h])♮/gu, '')
    .replace(/[−–—‐‑]/g, '-');

/** 0–11, C = 0. @throws RangeError for anything but a letter A–G with accidentals. */
export function pitchClassOf(name: NoteName): PitchClass {
  const chroma = Note.chroma(name);
  if (chroma === undefined || Number.isNaN(chroma)) {
    throw new RangeError(`pitchClassOf: ‘${name}’ is not a note name`);
  }
  return chroma;
}

/** Place on the line of fifths: F −1, C 0, G 1 … F♯ 6. Spelling differs where this differs. */
export function fifthsOf(name: NoteName): number {
  const letter = 'FCGDAEB'.indexOf(name[0] ?? '') - 1;
  const sharps = name.split('#').length - 1;
  const flats = name.slice(1).split('b').length - 1;
  return letter + 7 * (sharps - flats);
}

/** The note at a place on the line of fifths. */
export function noteAtFifths(fifths: number): NoteName {
  const letter = 'FCGDAEB'[(((fifths + 1) % 7) + 7) % 7]!;
  const accidentals = Math.floor((fifths + 1) / 7);
  return letter + (accidentals >= 0 ? '#'.repeat(accidentals) : 'b'.repeat(-accidentals));
}

/** The spelling of a pitch class nearest to `centre` on the line of fifths (default: between B♭ and F♯). */
export function spellNear(pc: PitchClass, centre = 2): NoteName {
  const start = (pc * 7) % 12;
  const turns = Math.round((centre - start) / 12);
  return noteAtFifths(start + 12 * turns);
}

/** "F#" → "F sharp", for screen readers. */
export const sayNote = (name: NoteName): string =>
  name[0] + name.slice(1).replace(/#/g, ' sharp').replace(/b/g, ' flat');

/** ♯ and ♭ for the eye, in a note name or a chord symbol: "Bbm7b5/Gb" → "B♭m7♭5/G♭". */
export const pretty = (symbol: string): string =>
  symbol
    .replace(/^[A-G]b+|\/[A-G]b+$/g, (note) => note.replace(/b/g, '♭'))
    .replace(/b(?=\d)/g, '♭')
    .replace(/#/g, '♯');

/** German names of notes that are not built by rule; see {@link NoteNames}. */
const GERMAN: ReadonlyMap<NoteName, string> = new Map([
  ['Bb', 'B'],
  ['Bbb', 'Heses'],
  ['Eb', 'Es'],
  ['Ab', 'As'],
]);

/** A note in the names of a chart, ASCII: in German "H" for B, "Fis" for F#. */
export function printNote(note: NoteName, names: NoteNames = 'international'): string {
  if (names === 'international') return note;
  const letter = note[0] === 'B' ? 'H' : note[0]!;
  const built = letter + note.slice(1).replace(/#/g, 'is').replace(/b/g, 'es');
  return GERMAN.get(note) ?? built;
}
