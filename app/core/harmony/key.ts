// A key as typed on a chart ("G", "F♯ minor", "D dorian"): its tonic, mode and signature.
import { fail, ok } from '../base/result.ts';
import type { Result } from '../base/result.ts';
import type { NoteName, NoteNames } from '../model/chord.ts';
import { fifthsOf, pitchClassOf, pretty, printNote, spellNear, toAscii } from './notes.ts';

export type Mode = 'major' | 'minor' | 'dorian' | 'phrygian' | 'lydian' | 'mixolydian' | 'locrian';

export interface Key {
  readonly tonic: NoteName;
  readonly mode: Mode;
  /** Sharps of the signature; flats are negative. */
  readonly sharps: number;
}

/** Fifths from a tonic to the tonic of the major key with the same signature. */
const TO_RELATIVE_MAJOR: Readonly<Record<Mode, number>> = {
  lydian: 1,
  major: 0,
  mixolydian: -1,
  dorian: -2,
  minor: -3,
  phrygian: -4,
  locrian: -5,
};

/** What may follow the tonic; a capital M alone is major, everything else counts in small letters. */
const MODE_WORDS: ReadonlyMap<string, Mode> = new Map([
  ...(Object.keys(TO_RELATIVE_MAJOR) as Mode[]).map((mode) => [mode, mode] as const),
  ['', 'major'],
  ['maj', 'major'],
  ['dur', 'major'],
  ['ionian', 'major'],
  ['m', 'minor'],
  ['min', 'minor'],
  ['-', 'minor'],
  ['moll', 'minor'],
  ['aeolian', 'minor'],
]);

export const keyOf = (tonic: NoteName, mode: Mode): Key => ({
  tonic,
  mode,
  sharps: fifthsOf(tonic) + TO_RELATIVE_MAJOR[mode],
});

const readMode = (word: string): Mode | undefined =>
  word === 'M' ? 'major' : MODE_WORDS.get(word.toLowerCase());

/** Fails with `key-unreadable`. A small letter ("e minor", "em") is read as its capital. */
export function readKey(text: string): Result<Key> {
  // A hyphen before a word only joins it ("A-minor"); a hyphen alone is the sign for minor ("A-").
  const parts = /^([A-Ga-g](?:#|b)?)\s*(?:-\s*(?=[A-Za-z]))?([A-Za-z]*|-)$/.exec(
    toAscii(text.trim()),
  );
  const mode = parts && readMode(parts[2]!);
  if (!parts || !mode) {
    return fail({
      code: 'key-unreadable',
      message: `‘${text}’ is not a key this program can read.`,
      cure: 'Type a note and a mode, such as G, F♯ minor or D dorian.',
    });
  }
  const tonic = parts[1]![0]!.toUpperCase() + parts[1]!.slice(1);
  return ok(keyOf(tonic, mode));
}

export const keyName = (key: Key, names?: NoteNames): string =>
  `${pretty(printNote(key.tonic, names))} ${key.mode}`;

/** The same mode `semitones` higher, spelled with the fewest sharps or flats; F♯ before G♭, E♭ minor before D♯ minor. */
export function transposeKey(key: Key, semitones: number): Key {
  const pc = (((pitchClassOf(key.tonic) + semitones) % 12) + 12) % 12;
  const centre = (key.mode === 'major' ? 0.5 : -0.5) - TO_RELATIVE_MAJOR[key.mode];
  return keyOf(spellNear(pc, centre), key.mode);
}

/** The spelling a key gives to any of the twelve pitch classes: its own notes, then the nearest borrowed ones. */
export function spellIn(key: Key, pc: number): NoteName {
  const centre = key.sharps + (key.mode === 'major' || key.mode === 'lydian' ? 1.5 : 2.5);
  return spellNear(pc, centre);
}
