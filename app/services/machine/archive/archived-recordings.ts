// Recordings on their way into an archive and out of it: none is written over, and each is there once.
import fs from 'node:fs';
import path from 'node:path';
import { crc32 } from 'node:zlib';
import type { Problem } from '../../../core/base/result.ts';
import { soundKind } from '../../../core/exchange/recording.ts';
import {
  kindOf,
  NOTE_ENDING,
  noteFileOf,
  noteIn,
  readNote,
  recordingsFolder,
  soundsIn,
  type StoredNote,
  writeNote,
} from '../recordings/recording-files.ts';
import { fileName, freeName } from '../store/file-name.ts';
import { makeFolder } from '../store/make-folder.ts';
import type { Packed } from './write-archive.ts';

/** Bytes of sound in one archive: it has to be opened again in one piece. */
const MOST_SOUND = 700_000_000;

export const RECORDING_PLACE = /^recordings\/([^/\\]{1,200})\.(webm|ogg|json)$/;

/** The newest ones, as far as they go into one file. */
export function packedRecordings(directory: string): {
  readonly packed: readonly Packed[];
  readonly problems: readonly Problem[];
} {
  let bytes = 0;
  const all = soundsIn(directory)
    .flatMap((sound) => {
      const note = readNote(sound);
      return note ? [{ sound, at: Date.parse(note.at), size: fs.statSync(sound).size }] : [];
    })
    .sort((a, b) => b.at - a.at);
  const fit = all.filter(({ size }) => (bytes += size) <= MOST_SOUND);
  const packed = fit.flatMap(({ sound }) =>
    [sound, noteFileOf(sound)].map((file) => ({ name: `recordings/${path.basename(file)}`, file })),
  );
  return { packed, problems: fit.length < all.length ? [tooMuch(all.length - fit.length)] : [] };
}

export interface ArchivedRecording {
  /** The place of its sound in the archive. */
  readonly sound: string;
  readonly note: StoredNote;
}

/** Those with a note that can be understood. @param texts notes by their place */
export const recordingsIn = (
  places: readonly string[],
  texts: ReadonlyMap<string, string>,
): readonly ArchivedRecording[] =>
  places.flatMap((sound) => {
    const text = kindOf(sound) && texts.get(noteFileOf(sound));
    const note = text === undefined ? undefined : noteIn(text);
    return note ? [{ sound, note }] : [];
  });

/** Those that are not here. */
export function freshRecordings(
  archived: readonly ArchivedRecording[],
  directory: string,
): readonly ArchivedRecording[] {
  const here = new Set(soundsIn(directory).map((sound) => readNote(sound)?.id));
  return archived.filter(({ note }) => !here.has(note.id));
}

/** A file that was brought in, and its CRC-32. */
export interface BroughtSound {
  readonly file: string;
  readonly sum: number;
}

/** @throws Error where it cannot be written; what is no sound is left out. */
export function bringRecordings(
  archived: readonly ArchivedRecording[],
  directory: string,
  soundAt: (place: string) => Uint8Array | undefined,
): readonly BroughtSound[] {
  const folder = recordingsFolder(directory);
  return freshRecordings(archived, directory).flatMap(({ sound, note }): BroughtSound[] => {
    const content = soundAt(sound);
    const kind = content && soundKind(content);
    if (!kind) return [];
    makeFolder(folder);
    const plain = fileName(path.basename(sound).slice(0, -path.extname(sound).length));
    const isTaken = (name: string): boolean =>
      [`.${kind}`, NOTE_ENDING].some((end) => fs.existsSync(path.join(folder, `${name}${end}`)));
    const file = path.join(folder, `${freeName(plain, isTaken)}.${kind}`);
    fs.writeFileSync(file, content, { mode: 0o600, flag: 'wx', flush: true });
    writeNote(file, note);
    return [{ file: path.basename(file), sum: crc32(content) }];
  });
}

/** Returns how many stayed because they were changed since. */
export function takeOutRecordings(brought: readonly BroughtSound[], directory: string): number {
  let stayed = 0;
  for (const { file, sum } of brought) {
    const sound = path.join(recordingsFolder(directory), path.basename(file));
    if (!fs.existsSync(sound)) continue;
    if (crc32(fs.readFileSync(sound)) !== sum) stayed++;
    else for (const one of [sound, noteFileOf(sound)]) fs.rmSync(one, { force: true });
  }
  return stayed;
}

const tooMuch = (left: number): Problem => ({
  code: 'archive-left-out',
  message: `${left} of the oldest recordings are not in this file: it would be too large to be opened again.`,
  cure: 'Copy the folder ‘recordings’ of your data folder as well.',
});
