// Answers the calls about archives: saves everything into one file, takes one in by parts, brings it in, undoes that.
import { PART_BYTES } from '../../../core/model/limits.ts';
import fs from 'node:fs';
import path from 'node:path';
import type { Problem, Result } from '../../../core/base/result.ts';
import { fail, ok } from '../../../core/base/result.ts';
import {
  type ArchiveChoice,
  type ArchiveLook,
  type BroughtIn,
  type FilePart,
  type SavedArchive,
} from '../../contract/archives.ts';
import { inWords } from '../store/durable.ts';
import { bringIn } from './bring-in.ts';
import { type Keeping, workFolder } from './keeping.ts';
import { lookAt } from './look.ts';
import { type Archive, openArchive } from './open-archive.ts';
import { madeArchive, saveAll } from './save-all.ts';
import { undo } from './undo.ts';
import { readUndoNote, type UndoNote } from './undo-note.ts';
import { assertHere } from '../store/data-folder.ts';
import { makeFolder } from '../store/make-folder.ts';

export class Archives {
  readonly #keeping: Keeping;
  #archive: Archive | undefined;

  constructor(keeping: Keeping) {
    this.#keeping = keeping;
  }

  save = (): Promise<Result<SavedArchive>> => saveAll(this.#keeping);

  /** A stretch of the archive made last, empty at its end. */
  part(from: number): Result<FilePart> {
    try {
      const handle = fs.openSync(madeArchive(this.#keeping), 'r');
      try {
        const bytes = Buffer.alloc(PART_BYTES);
        const read = fs.readSync(handle, bytes, 0, PART_BYTES, from);
        return ok({ from, base64: bytes.toString('base64', 0, read) });
      } finally {
        fs.closeSync(handle);
      }
    } catch (error) {
      return fail(broken(error));
    }
  }

  /** A stretch of the file that is brought in; the first one begins anew. */
  give({ from, base64 }: FilePart): Result<null> {
    this.#archive = undefined;
    try {
      assertHere(this.#keeping.folder);
      makeFolder(workFolder(this.#keeping));
      const handle = fs.openSync(this.#incoming, from === 0 ? 'w' : 'r+', 0o600);
      try {
        fs.writeSync(handle, Buffer.from(base64, 'base64'), null, null, from);
      } finally {
        fs.closeSync(handle);
      }
      return ok(null);
    } catch (error) {
      return fail(broken(error));
    }
  }

  /** What was given, beside what is here; nothing is changed. */
  look(): Result<ArchiveLook> {
    const opened = openArchive(this.#incoming, this.#log);
    if (!opened.ok) return opened;
    this.#archive = opened.value;
    try {
      return ok(lookAt(opened.value, this.#keeping));
    } catch (error) {
      return fail(broken(error));
    }
  }

  async bringIn(choice: ArchiveChoice): Promise<Result<BroughtIn>> {
    if (!this.#archive) return fail(notLookedAt);
    try {
      const note = await bringIn(this.#archive, choice, this.#keeping);
      return ok(broughtIn(note));
    } catch (error) {
      return fail(notWhole(error));
    }
  }

  /** Lets what was given go. */
  putAway(): null {
    this.#archive = undefined;
    for (const file of [this.#incoming, this.#log]) {
      for (const end of ['', '-wal', '-shm']) fs.rmSync(`${file}${end}`, { force: true });
    }
    return null;
  }

  /** What can be undone. */
  last(): BroughtIn | null {
    const note = readUndoNote(this.#keeping);
    return note ? broughtIn(note) : null;
  }

  /** How much stayed because it was changed since. */
  undo(): Result<{ readonly stayed: number }> {
    const note = readUndoNote(this.#keeping);
    if (!note) return fail(nothingToUndo);
    try {
      return ok({ stayed: undo(note, this.#keeping) });
    } catch (error) {
      return fail(broken(error));
    }
  }

  get #incoming(): string {
    return path.join(workFolder(this.#keeping), 'given.zip');
  }
  get #log(): string {
    return path.join(workFolder(this.#keeping), 'given.sqlite');
  }
}

/** What was brought in, in numbers, from the note that can undo it. */
export const broughtIn = ({ students, ladders, settings, ...note }: UndoNote): BroughtIn => ({
  at: note.at,
  charts: note.charts.length,
  passes: note.passes,
  recordings: note.recordings.length,
  documents: students.put.length + ladders.put.length + settings.put.length,
});

const broken = (error: unknown): Problem => ({
  code: 'archive-broken-off',
  message: `That did not work: ${inWords(error)}.`,
  cure: 'Make room on the disk or allow writing to the data folder, then try again. What was here is as it was.',
});

const notWhole = (error: unknown): Problem => ({
  code: 'archive-not-whole',
  message: `Not everything could be brought in: ${inWords(error)}.`,
  cure: 'Undo what was brought in, under Sound & care, or bring it in again: what is here already is not doubled.',
});

const notLookedAt: Problem = {
  code: 'archive-not-given',
  message: 'There is no archive to bring in.',
  cure: 'Choose the file again.',
};

const nothingToUndo: Problem = {
  code: 'nothing-to-undo',
  message: 'There is nothing to undo.',
  cure: 'Only what was brought in last can be undone.',
};
