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

/**
 * What may follow the tonic; a capital M alone is major, everything else counts in small letters. The words of three
 * letters are those of the ABC music standard 2.1 (3.1.14); the German ones come with German names of notes.
 */
const MODE_WORDS: ReadonlyMap<string, Mode> = new Map(
  (
    [
      ['major', ' maj ma major dur ion ionian ionisch'],
      ['minor', 'm - mi min minor moll aeo aeol aeolian äolisch'],
      ['dorian', 'dor dorian dorisch'],
      ['phrygian', 'phr phryg phrygian phrygisch'],
      ['lydian', 'lyd lydian lydisch'],
      ['mixolydian', 'mix mixo mixolydian mixolydisch'],
      ['locrian', 'loc locrian lokrisch'],
    ] as const
  ).flatMap(([mode, words]) => words.split(' ').map((word) => [word, mode] as const)),
);

/** The key with its signature: sharps are positive, flats negative. */
export const keyOf = (tonic: NoteName, mode: Mode): Key => ({
  tonic,
  mode,
  sharps: fifthsOf(tonic) + TO_RELATIVE_MAJOR[mode],
});

const readMode = (word: string): Mode | undefined =>
  word === 'M' ? 'major' : MODE_WORDS.get(word.toLowerCase());

const SAID_SIGN: ReadonlyMap<string, string> = new Map([
  ['sharp', '#'],
  ['flat', 'b'],
]);

/** "A flat" and "F-sharp" as they are written. */
const signWritten = (text: string): string =>
  text.replace(
    /^([A-Ga-g])[\s-]*(sharp|flat)(?![a-z])/i,
    (_, letter: string, word: string) => letter + SAID_SIGN.get(word.toLowerCase())!,
  );

/** The tonic; what joins it to a word ("A-minor"), or a hyphen alone, the sign for minor ("A-"); the mode. */
const KEY =
  /^([A-Ga-g](?:#|b)?)\s*(?:-\s*(?=\p{L}))?(?:(?:natural|harmonic|melodic)\s+(?=minor$))?(\p{L}*|-)\.?$/iu;

/** Fails with `key-unreadable`. A small letter ("e minor", "em") is read as its capital. */
export function readKey(text: string): Result<Key> {
  const parts = KEY.exec(signWritten(toAscii(text.trim())));
  const mode = parts && readMode(parts[2]!);
  if (!parts || !mode) {
    return fail({
      code: 'key-unreadable',
      message: `‘${text}’ is not a key this program can read.`,
      cure: 'Type a note and a mode, such as G, F♯ minor or D dorian.',
    });
  }
  const tonic = parts[1]![0]!.toUpperCase() + parts[1]!.slice(1).toLowerCase();
  return ok(keyOf(tonic, mode));
}

/** "F♯ minor", in the names given. */
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
