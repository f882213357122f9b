// Recordings in the data folder: a sound file each, which any player plays, and beside it a small note of what it is.
// The sound is on disk a few seconds after it was played, so that what was recorded before a crash is kept.
import fs from 'node:fs';
import path from 'node:path';
import { crc32 } from 'node:zlib';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import type { Milliseconds } from '../../../core/base/units.ts';
import {
  MAX_RECORDING_BYTES,
  type RecordingAbout,
  type RecordingNote,
  SOUND_KINDS,
  type SoundKind,
  soundKind,
} from '../../../core/exchange/recording.ts';
import type { FilePart } from '../../contract/archives.ts';
import type {
  KeptRecording,
  OpenedSound,
  RecordingEnd,
  Recordings,
} from '../../contract/recordings.ts';
import { assertHere, type DataFolder } from '../store/data-folder.ts';
import { assertRoom, inWords } from '../store/durable.ts';
import { fileName, freeName } from '../store/file-name.ts';
import { makeFolder } from '../store/make-folder.ts';
import {
  kindOf,
  NOTE_ENDING,
  noteFileOf,
  plainNote,
  readNote,
  recordingsFolder,
  soundsIn,
  type StoredNote,
  writeNote,
} from './recording-files.ts';
import { soundPart } from './sound-part.ts';

export interface RecordingsAround {
  readonly folder: DataFolder;
  readonly now: () => Date;
  readonly newId: () => string;
}

/** More than anybody plays through in years; a list of them is read in a moment. */
const MOST_RECORDINGS = 5_000;

interface Found {
  /** Whole path of the sound file. */
  readonly file: string;
  readonly bytes: number;
  readonly stored: StoredNote;
}

/** One that is being recorded. */
interface GoesOn {
  readonly file: string;
  /** On disk. */
  readonly bytes: number;
  /** When it last grew. */
  readonly at: Milliseconds;
}

/**
 * A stretch comes every two seconds. Where none came for so long, the player rests, or the window was closed: it reads
 * as broken off, and as going on again when the next stretch comes.
 */
const SILENT: Milliseconds = 30_000;

export class RecordingStore {
  readonly #around: RecordingsAround;
  /** Those that are being recorded, by identity. */
  readonly #on = new Map<string, GoesOn>();

  /** Sound files by identity, as they were seen last. */
  readonly #seen = new Map<string, string>();
  /** Notes by sound file, with a mark of the file that they were read from. */
  readonly #notes = new Map<string, { readonly stamp: string; readonly note: StoredNote }>();

  constructor(around: RecordingsAround) {
    this.#around = around;
  }

  list(): Recordings {
    const problems: Problem[] = [];
    const all = this.#found(problems).map((one) => this.#kept(one));
    return { all: all.sort(newestFirst), problems };
  }

  get(id: string): KeptRecording | undefined {
    const found = this.#find(id);
    return found && this.#kept(found);
  }

  /** Refused where there is no room for the longest one. */
  begin(about: RecordingAbout, kind: SoundKind): Result<KeptRecording> {
    const { folder, now, newId } = this.#around;
    try {
      assertHere(folder);
      makeFolder(this.#folder);
      assertRoom(this.#folder, MAX_RECORDING_BYTES);
      if (soundsIn(this.#around.folder.directory).length >= MOST_RECORDINGS) return fail(tooMany);
      const note: RecordingNote = { ...about, id: newId(), at: isoTimeOf(now()) };
      const file = this.#freeFile(note, kind);
      fs.writeFileSync(file, '', { mode: 0o600, flag: 'wx' });
      writeNote(file, note);
      this.#on.set(note.id, { file, bytes: 0, at: now().getTime() });
      return ok(this.#kept({ file, bytes: 0, stored: note }));
    } catch (error) {
      return fail(notKept(error));
    }
  }

  /** The next stretch of the sound; what is there already changes nothing. On disk when it returns. */
  add(id: string, { from, base64 }: FilePart): Result<null> {
    const on = this.#on.get(id);
    if (!on) return fail(notOn);
    const { file, bytes } = on;
    const sound = Buffer.from(base64, 'base64');
    if (from + sound.length <= bytes) return ok(null);
    if (from !== bytes) return fail(withGap);
    if (bytes === 0 && soundKind(sound) !== kindOf(file)) return fail(noSound);
    if (bytes + sound.length > MAX_RECORDING_BYTES) return fail(tooLarge);
    try {
      assertHere(this.#around.folder);
      const handle = fs.openSync(file, 'r+');
      try {
        writeWhole(handle, sound, from);
        fs.fdatasyncSync(handle);
      } finally {
        fs.closeSync(handle);
      }
      const at = this.#around.now().getTime();
      this.#on.set(id, { file, bytes: bytes + sound.length, at });
      return ok(null);
    } catch (error) {
      return fail(notKept(error));
    }
  }

  /** Closes it: from now on nothing is added. One without any sound is taken away. */
  end(id: string, ended: Omit<RecordingEnd, 'id'>): Result<KeptRecording> {
    const on = this.#on.get(id);
    const found = on && this.#find(id);
    this.#on.delete(id);
    if (!found) return fail(notOn);
    const { bytes } = on;
    try {
      assertHere(this.#around.folder);
      if (bytes === 0) {
        removeBoth(found.file);
        return fail(nothingHeard);
      }
      // Where the disk was full in the middle of a stretch, what came last is no whole sound.
      fs.truncateSync(found.file, bytes);
      const sum = crc32(fs.readFileSync(found.file));
      const stored = { ...found.stored, ...ended, bytes, sum };
      writeNote(found.file, stored);
      return ok(this.#kept({ file: found.file, bytes, stored }));
    } catch (error) {
      return fail(notKept(error));
    }
  }

  /** Looks whether it is a sound, and as it was recorded. */
  open(id: string): Result<OpenedSound> {
    const sound = this.sound(id);
    if (!sound.ok) return sound;
    const { note, content, kind } = sound.value;
    const { bytes, sum } = note;
    const whole = bytes === content.length && sum === crc32(content);
    return ok({ bytes: content.length, kind, whole });
  }

  part(id: string, from: number): Result<FilePart> {
    const sound = this.sound(id);
    return sound.ok ? ok(soundPart(sound.value.content, from)) : sound;
  }

  sound(id: string): Result<{ note: StoredNote; content: Uint8Array; kind: SoundKind }> {
    const found = this.#find(id);
    if (!found) return fail(gone);
    try {
      const content = fs.readFileSync(found.file);
      const kind = soundKind(content);
      return kind ? ok({ note: found.stored, content, kind }) : fail(unplayable(found.file));
    } catch (error) {
      return fail(unread(found.file, error));
    }
  }

  remark(id: string, remark: string): Result<KeptRecording> {
    const found = this.#find(id);
    if (!found) return fail(gone);
    const stored = { ...found.stored, remark: remark === '' ? undefined : remark };
    try {
      assertHere(this.#around.folder);
      writeNote(found.file, stored);
      return ok(this.#kept({ ...found, stored }));
    } catch (error) {
      return fail(notKept(error));
    }
  }

  /** For good. */
  remove(id: string): Result<null> {
    const found = this.#find(id);
    if (!found) return fail(gone);
    try {
      assertHere(this.#around.folder);
      this.#on.delete(id);
      removeBoth(found.file);
      return ok(null);
    } catch (error) {
      return fail(notRemoved(error));
    }
  }

  get #folder(): string {
    return recordingsFolder(this.#around.folder.directory);
  }

  #kept({ file, bytes, stored }: Found): KeptRecording {
    const { bytes: recorded } = stored;
    const note = plainNote(stored);
    const on = this.#on.get(note.id);
    const state =
      on && this.#around.now().getTime() - on.at < SILENT
        ? 'on'
        : recorded === undefined
          ? 'broken-off'
          : recorded === bytes
            ? 'whole'
            : 'changed';
    return { note, file: path.basename(file), bytes, state };
  }

  /** Where it was seen last, else wherever it lies now. */
  #find = (id: string): Found | undefined => {
    const file = this.#seen.get(id);
    const there = file === undefined ? undefined : this.#look(file);
    return there?.stored.id === id ? there : this.#found([]).find(({ stored }) => stored.id === id);
  };

  #found(problems: Problem[]): Found[] {
    const files = soundsIn(this.#around.folder.directory);
    return files.flatMap((file): Found[] => {
      const found = this.#look(file);
      if (!found) problems.push(noNote(path.basename(file)));
      return found && !this.#isNothing(found) ? [found] : [];
    });
  }

  /** Undefined where it is not there, or has no note. */
  #look(file: string): Found | undefined {
    const sound = fs.statSync(file, { throwIfNoEntry: false });
    const stored = sound && this.#noteOf(file);
    if (!stored) return undefined;
    this.#seen.set(stored.id, file);
    return { file, bytes: sound.size, stored };
  }

  /** One that ended before its first sound is nothing. */
  #isNothing = ({ bytes, stored }: Found): boolean =>
    bytes === 0 && stored.bytes === undefined && !this.#on.has(stored.id);

  /** Read again only once its file has changed: a list of thousands is asked for after each recording. */
  #noteOf(sound: string): StoredNote | undefined {
    const stat = fs.statSync(noteFileOf(sound), { throwIfNoEntry: false });
    const stamp = stat && `${stat.ino} ${stat.size} ${stat.mtimeMs}`;
    const known = this.#notes.get(sound);
    if (known && known.stamp === stamp) return known.note;
    const note = readNote(sound);
    if (note && stamp !== undefined) this.#notes.set(sound, { stamp, note });
    else this.#notes.delete(sound);
    return note;
  }

  /** "2031-04-05 18.20 Ferry Lights.webm", by this machine's clock; a second one of the minute says so. */
  #freeFile({ at, chart }: RecordingNote, kind: SoundKind): string {
    const plain = `${at.slice(0, 10)} ${at.slice(11, 16).replace(':', '.')} ${fileName(chart.title)}`;
    const isTaken = (name: string): boolean =>
      [NOTE_ENDING, ...SOUND_KINDS.map((one) => `.${one}`)].some((ending) =>
        fs.existsSync(path.join(this.#folder, `${name}${ending}`)),
      );
    return path.join(this.#folder, `${freeName(plain, isTaken)}.${kind}`);
  }
}

const newestFirst = (a: KeptRecording, b: KeptRecording): number =>
  Date.parse(b.note.at) - Date.parse(a.note.at) || (a.file < b.file ? 1 : -1);

function writeWhole(handle: number, bytes: Uint8Array, from: number): void {
  for (let done = 0; done < bytes.length;)
    done += fs.writeSync(handle, bytes, done, bytes.length - done, from + done);
}

/** The sound first: a note alone is nothing. */
function removeBoth(file: string): void {
  fs.rmSync(file, { force: true });
  fs.rmSync(noteFileOf(file), { force: true });
}

const notKept = (error: unknown): Problem => ({
  code: 'recording-not-kept',
  message: `The recording can't be kept: ${inWords(error)}.`,
  cure: 'Make room on the disk or allow writing to the data folder. What was recorded before is kept; your passes are logged as always.',
});

const notRemoved = (error: unknown): Problem => ({
  code: 'recording-not-removed',
  message: `The recording could not be thrown away: ${inWords(error)}.`,
  cure: 'Allow writing to the data folder, then try again.',
});

const tooMany: Problem = {
  code: 'recordings-full',
  message: `There are ${MOST_RECORDINGS} recordings here already`,
  cure: 'Throw some away in History first.',
};

const tooLarge: Problem = {
  code: 'recording-too-large',
  message: 'This recording is as large as one may be, so it ended here',
  cure: 'What was recorded is kept.',
};

const notOn: Problem = {
  code: 'recording-over',
  message: 'This recording is over already',
  cure: 'What was recorded is kept; begin a new one.',
};

const withGap: Problem = {
  code: 'recording-gap',
  message: 'Part of the recording was lost on its way, so it ended here',
  cure: 'What was recorded before is kept.',
};

const noSound: Problem = {
  code: 'recording-no-sound',
  message: 'What the microphone gave is no sound that can be kept',
  cure: 'Choose another microphone, or use another browser.',
};

const nothingHeard: Problem = {
  code: 'recording-empty',
  message: 'Nothing was recorded',
  cure: 'It ended before the first sound came. Try once more.',
};

const gone: Problem = {
  code: 'recording-gone',
  message: 'This recording is not here any more',
  cure: 'Look at the list again.',
};

const unplayable = (file: string): Problem => ({
  code: 'recording-unplayable',
  message: `‘${path.basename(file)}’ is no sound: something else was written over it`,
  cure: 'Bring it back from an archive, or throw it away.',
});

const unread = (file: string, error: unknown): Problem => ({
  code: 'recording-unread',
  message: `‘${path.basename(file)}’ could not be read: ${inWords(error)}`,
  cure: 'Allow reading in the data folder, then try again.',
});

const noNote = (file: string): Problem => ({
  code: 'recording-without-note',
  message: `‘${file}’ has lost the note of what it is`,
  cure: 'The sound itself is in the folder ‘recordings’ of the data folder; any player plays it.',
});
