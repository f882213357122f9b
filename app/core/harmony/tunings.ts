// The tunings that the program knows by name, and reading one of the player's own.
import { Note } from 'tonal';
import type { Tuning } from '../model/chart.ts';
import type { NoteNames } from '../model/chord.ts';
import { pretty, printNote, spellNear, toAscii } from './notes.ts';
import { fail, ok } from '../base/result.ts';
import type { Result } from '../base/result.ts';
import type { Fret, Midi, StringNo } from '../base/units.ts';

/** MIDI numbers of E2 A2 D3 G3 B3 E4; the same in `@tombatossals/chords-db` (`tunings.standard`). */
export const STANDARD: Tuning = { name: 'standard', strings: [40, 45, 50, 55, 59, 64] };

/** Strings from 6 to 1. All but the first are common practice; the notes follow from the names. */
export const TUNINGS: readonly Tuning[] = [
  STANDARD,
  { name: 'drop D', strings: [38, 45, 50, 55, 59, 64] },
  { name: 'half step down', strings: [39, 44, 49, 54, 58, 63] },
  { name: 'whole step down', strings: [38, 43, 48, 53, 57, 62] },
  { name: 'open D', strings: [38, 45, 50, 54, 57, 62] },
  { name: 'open G', strings: [38, 43, 50, 55, 59, 62] },
  { name: 'DADGAD', strings: [38, 45, 50, 55, 57, 62] },
];

/** Pitch of a string (1 the highest) stopped at a fret, in open strings listed from string 6. */
export const stringPitch = (open: readonly Midi[], string: StringNo, fret: Fret = 0): Midi =>
  open[open.length - string]! + fret;

/**
 * Semitones by which every string lies above (or below) standard tuning, where it is the same for all; 0 where the
 * strings stand otherwise to each other. Guitars tuned down alike keep the names of standard tuning for what is
 * fingered on them (common practice, no source), just as with a capo.
 */
export function evenShift({ strings }: Pick<Tuning, 'strings'>): number {
  const by = strings[0]! - STANDARD.strings[0]!;
  return strings.every((midi, i) => midi - STANDARD.strings[i]! === by) ? by : 0;
}

/** The strings by the names that a chart gives to what is held on them: those of standard tuning if tuned alike. */
export const namedStrings = (tuning: Pick<Tuning, 'strings'>): readonly Midi[] =>
  evenShift(tuning) === 0 ? tuning.strings : STANDARD.strings;

/** Lowest and highest open string that a guitar-like neck may have: B1 (baritone) and E5. */
const LOWEST: Midi = 35;
const HIGHEST: Midi = 76;

/**
 * A tuning by its name ("drop D"), or six notes from string 6 to string 1 with or without octaves
 * ("D A D G A D", "DADGAD", "E2 A2 D3 G3 B3 E4"). Without octaves each string takes the pitch
 * nearest to its standard one.
 */
export function readTuning(text: string): Result<Tuning> {
  const wanted = text.trim().toLowerCase();
  const known = TUNINGS.find((tuning) => tuning.name.toLowerCase() === wanted);
  if (known) return ok(known);
  const notes = toAscii(text.trim()).match(/[A-Ga-g](?:#|b(?![a-g]))?\d?/g) ?? [];
  const leftOver = toAscii(text)
    .replace(/[A-Ga-g](?:#|b(?![a-g]))?\d?/g, '')
    .trim();
  const told = STRINGS_TOLD.exec(text)?.[1]?.toLowerCase();
  if (told !== undefined) return fail(otherStrings(text, told));
  if (/[^\s,-]/.test(leftOver) || notes.length < 3) return fail(unreadable(text));
  if (notes.length !== 6) return fail(notSix(text, notes.length));
  if (isTurned(notes)) return fail(turned(text, notes));
  const strings = notes.map((note, index) => pitchNear(note, STANDARD.strings[index]!));
  const outside = strings.findIndex((midi) => midi < LOWEST || midi > HIGHEST);
  if (outside >= 0) return fail(outOfRange(text, 6 - outside));
  return ok({ name: text.trim(), strings });
}

/** Six names from string 1 to string 6, as of "E B G D A E", are a tuning that is known the other way round. */
function isTurned(notes: readonly string[]): boolean {
  const names = notes.map((note) => note.toUpperCase()).toReversed();
  const usual = USUAL_NAMES.map((one) => one.join(' '));
  return usual.includes(names.join(' ')) && !usual.includes(names.toReversed().join(' '));
}

const USUAL_NAMES = [
  ['E', 'A', 'D', 'G', 'B', 'E'],
  ['D', 'A', 'D', 'G', 'B', 'E'],
];

function pitchNear(note: string, standard: Midi): Midi {
  const name = note[0]!.toUpperCase() + note.slice(1);
  const exact = Note.midi(name);
  if (exact !== null) return exact;
  const up = (((Note.chroma(name) - standard) % 12) + 12) % 12;
  return standard + (up > 6 ? up - 12 : up);
}

const unreadable = (text: string) => ({
  code: 'tuning-unreadable',
  message: `‘${text}’ is not a tuning this program can read.`,
  cure: `Type one of ${TUNINGS.map((t) => t.name).join(', ')}, or six notes from string 6 to string 1 such as D A D G B E.`,
});

/** "7-string", "four strings", "bass". */
const STRINGS_TOLD =
  /\b((?:[4578]|four|five|seven|eight)(?=[- ]?strings?\b)|bass|baritone ukulele|ukulele|banjo|mandolin)/iu;

const otherStrings = (text: string, told: string) => ({
  code: 'tuning-unreadable',
  message: /^(?:\d|four|five|seven|eight)$/u.test(told)
    ? `‘${text}’ is for ${told} strings; charts here are for guitars with six.`
    : `‘${text}’ is for another instrument; charts here are for guitars with six strings.`,
  cure: 'Write the six strings on which it is to be played, from string 6 to string 1: for a guitar with seven, leave out the lowest.',
});

const notSix = (text: string, count: number) => ({
  code: 'tuning-unreadable',
  message: `‘${text}’ names ${count} strings; charts here are for guitars with six.`,
  cure:
    count < 6
      ? `Write all six, from string 6 (the lowest) to string 1: ${count === 5 ? 'one is' : `${6 - count} are`} missing.`
      : `Write six, from string 6 (the lowest) to string 1: there ${count === 7 ? 'is one' : `are ${count - 6}`} too many.`,
});

const turned = (text: string, notes: readonly string[]) => ({
  code: 'tuning-turned',
  message: `‘${text}’ begins with the highest string.`,
  cure: `Begin with string 6, the lowest: ${notes.toReversed().join(' ').toUpperCase()}.`,
});

const outOfRange = (text: string, string: number) => ({
  code: 'tuning-out-of-range',
  message: `String ${string} of ‘${text}’ is tuned outside B1 to E5.`,
  cure: 'Give each string a note that a guitar string can hold, such as E2 for string 6.',
});

/** Open strings with their octaves, from string 6: "E2 A2 D3 G3 B3 E4". */
export const tuningWithOctaves = (tuning: Tuning): string =>
  tuning.strings.map((midi) => Note.fromMidiSharps(midi)).join(' ');

/** "E A D G B E", from string 6 to string 1, for people; flats throughout where signs would mix. */
export function tuningNotes(tuning: Tuning, names?: NoteNames): string {
  const spelled = (centre: number) => tuning.strings.map((midi) => spellNear(midi % 12, centre));
  const usual = spelled(2);
  const mixed = usual.some((n) => n.includes('#')) && usual.some((n) => n.includes('b'));
  return (mixed ? spelled(-2) : usual).map((n) => pretty(printNote(n, names))).join(' ');
}
