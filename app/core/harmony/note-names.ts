// Symbols and keys from the names a chart is typed in to international ones, and back. Inside, all names are international.
import type { Chord, NoteName, NoteNames } from '../model/chord.ts';
import { pretty, printNote, toAscii } from './notes.ts';
import { symbolFrom } from './print.ts';
import { chordOf, readChord, splitSymbol } from './read.ts';

/** A symbol as a chart with such names types it, in international names; one that says the same in both stays as typed. */
export function fromNames(typed: string, names: NoteNames | undefined): string {
  if (names !== 'german') return typed;
  const read = readChord(typed, names);
  const parts = splitSymbol(typed, names);
  if (!read.ok || read.value.kind === 'silence' || !parts) return typed;
  const plain = readChord(typed);
  const same =
    plain.ok &&
    plain.value.kind === 'chord' &&
    plain.value.root === read.value.root &&
    plain.value.quality === read.value.quality &&
    plain.value.bass === read.value.bass;
  return same ? typed : symbolFrom(parts);
}

/** The inverse of {@link fromNames}: "Hm7" for "Bm7". What cannot be read stays as it is. */
export function inNames(symbol: string, names: NoteNames | undefined): string {
  if (names !== 'german') return symbol;
  const read = readChord(symbol);
  const parts = splitSymbol(symbol);
  if (!read.ok || read.value.kind === 'silence' || !parts) return symbol;
  const german = symbolFrom(parts, names);
  // Typed with ♯ or ♭ it says the same in both, and comes back to the letter.
  const comesBack = (one: string): boolean =>
    readChord(one, names).ok && fromNames(one, names) === symbol;
  return [german, symbol].find(comesBack) ?? german;
}

/** A chart's symbol, read once, that is shown and said in the chart's own names. */
export function chordIn(symbol: string, names: NoteNames | undefined): Chord {
  const chord = chordOf(symbol);
  return names === 'german' && chord.kind === 'chord' ? { ...chord, names } : chord;
}

/** A symbol for the eye, in a chart's own names: "B♭m7", in German "Bm7". */
export const shownSymbol = (symbol: string, names: NoteNames | undefined): string =>
  pretty(inNames(symbol, names));

/** A single note for the eye. */
export const shownNote = (note: NoteName, names: NoteNames | undefined): string =>
  pretty(printNote(note, names));

const GERMAN_KEY = /^([A-Ha-h])(is|es|s|#|b)?(.*)$/;

/** A key as typed in such names, in international ones: "h-Moll" is "B minor"; a small letter alone is minor in German. */
export function keyFromNames(typed: string, names: NoteNames | undefined): string {
  if (names !== 'german') return typed;
  const [, letter, sign = '', mode = ''] = GERMAN_KEY.exec(toAscii(typed.trim())) ?? [];
  if (letter === undefined) return typed;
  const head = splitSymbol(letter.toUpperCase() + sign, names);
  if (!head || head.suffix !== '') return typed;
  const small = letter !== letter.toUpperCase() && mode.trim() === '';
  const word = mode
    .replace(/^\s*-\s*(?=\S)/u, ' ')
    .replace(/\bmoll\b/iu, 'minor')
    .replace(/\bdur\b/iu, 'major');
  const key = `${head.root}${small ? ' minor' : word}`;
  return key === toAscii(typed.trim()) ? typed : key;
}

/** The inverse of {@link keyFromNames}: "H minor". */
export function keyInNames(key: string, names: NoteNames | undefined): string {
  if (names !== 'german') return key;
  const [, note, mode = ''] = /^([A-G](?:##|bb|#|b)?)(.*)$/.exec(toAscii(key)) ?? [];
  const german = note === undefined ? key : `${printNote(note, names)}${mode}`;
  return [german, key].find((one) => keyFromNames(one, names) === key) ?? german;
}
