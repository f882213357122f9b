// The files of a recording: the sound, and beside it a note of what it is, how long, and by which sums a change is noticed.
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import { z } from 'zod';
import { checked } from '../../../core/base/checked.ts';
import {
  recordingNote,
  type RecordingNote,
  SOUND_KINDS,
  type SoundKind,
} from '../../../core/exchange/recording.ts';
import { attempt } from '../store/durable.ts';
import { sealed, unsealed } from '../store/seal.ts';

/** @param directory the data folder */
export const recordingsFolder = (directory: string): string => path.join(directory, 'recordings');

/** By its name; undefined for any other file. */
export const kindOf = (file: string): SoundKind | undefined =>
  SOUND_KINDS.find((kind) => file.endsWith(`.${kind}`));

const storedNote = recordingNote.extend({
  /** Of the sound file and its CRC-32, both known at the end. */
  bytes: z.int().min(0).optional(),
  sum: z.int().min(0).optional(),
});
export type StoredNote = z.infer<typeof storedNote>;

/** What is known of it, without the sums. */
export function plainNote(stored: StoredNote): RecordingNote {
  const note: Omit<StoredNote, 'bytes' | 'sum'> & Partial<StoredNote> = { ...stored };
  delete note.bytes;
  delete note.sum;
  return note;
}

export const NOTE_ENDING = '.json';
/** Bytes; longer is none of ours. */
const MOST_BYTES = 20_000;

/** The note that stands beside a sound. @param sound file with its ending */
export const noteFileOf = (sound: string): string =>
  `${sound.slice(0, sound.lastIndexOf('.'))}${NOTE_ENDING}`;

/** @throws Error where it cannot be written; what stood there stays. */
export const writeNote = (sound: string, note: StoredNote): void =>
  writeFileSync(noteFileOf(sound), sealed({ ...note }), { mode: 0o600 });

/** Undefined where there is none, or none that can be understood. */
export function readNote(sound: string): StoredNote | undefined {
  try {
    const file = noteFileOf(sound);
    return fs.statSync(file).size > MOST_BYTES ? undefined : noteIn(fs.readFileSync(file, 'utf8'));
  } catch {
    return undefined;
  }
}

/** A hand may have changed it on purpose, so its sum decides nothing. */
export function noteIn(text: string): StoredNote | undefined {
  try {
    const raw = z.record(z.string(), z.unknown()).parse(JSON.parse(text));
    const note = checked(storedNote, unsealed(raw).content);
    return note.success ? note.data : undefined;
  } catch {
    return undefined;
  }
}

/** Whole paths of all sound files. */
export function soundsIn(directory: string): readonly string[] {
  const folder = recordingsFolder(directory);
  const entries = attempt(() => fs.readdirSync(folder, { withFileTypes: true })) ?? [];
  return entries
    .filter((entry) => entry.isFile() && kindOf(entry.name) !== undefined)
    .map(({ name }) => path.join(folder, name));
}
