// The files that this machine wrote in the shared folder: nobody else touches them, and it touches no other.
import path from 'node:path';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import type { Parcel } from '../../../core/exchange/shared/parcel.ts';
import {
  hashIn,
  numberIn,
  type Segment,
  segmentName,
  writeSegment,
} from '../../../core/exchange/shared/segment.ts';
import {
  type OnShelf,
  type Shelf,
  standingFor,
  stoodForOn,
} from '../../../core/exchange/shared/shelf.ts';
import { inWords } from '../store/durable.ts';
import { type Files, PART } from './files.ts';
import type { WriterPlace, SharedMemory } from './memory.ts';
import { foldersIn, HOME } from './places.ts';
import type { ShelfReader } from './shelf-reader.ts';

/** Which file it is, whatever it is called. */
export interface FileOf {
  readonly writer: string;
  readonly number: number;
}

/** What was written, and where. */
export interface Written extends FileOf {
  readonly hash: string;
}

/** What a file holds, beside its name and number. */
export type Content = Pick<Segment, 'parcel' | 'batch' | 'recording' | 'instead' | 'again'>;

/** A file on the shelf, and the later one that says that it stands for it. */
export interface Replaced {
  readonly id: string;
  readonly one: OnShelf;
  readonly by: OnShelf;
}

/** Where something is posted. */
export interface Posting {
  /** The shared folder. */
  readonly folder: string;
  /** '' for the folder itself, else the folder of a student in it. */
  readonly place: string;
}

/** What was posted, kept so that it can be posted again where its file is lost. */
export interface Outbox {
  /** @param parcel undefined where a file only says what nobody has to wait for */
  readonly put: (written: FileOf, parcel: Parcel | undefined, to: Posting) => void;
  /** Taken out again: nothing of this student is posted again. */
  readonly drop: (student: string) => void;
  /** The files in a student's folder were taken away. */
  readonly leave: (place: string) => void;
  /** Everything was taken out. */
  readonly clear: () => void;
}

interface OwnFilesAround {
  readonly memory: SharedMemory;
  readonly reader: ShelfReader;
  readonly files: Files;
  readonly now: () => Date;
  readonly beforeWriting?: (() => void) | undefined;
  readonly afterWriting?: (() => void) | undefined;
}

export class OwnFiles {
  readonly #around: OwnFilesAround;

  constructor(around: OwnFilesAround) {
    this.#around = around;
  }

  /** The names under which this machine writes and wrote. */
  get writers(): ReadonlySet<string> {
    const { places, was = [] } = this.#around.memory.now;
    return new Set([...was, ...places.map(({ writer }) => writer)]);
  }

  /** A name that it made and does not remember counts as its own from now on: a backup was brought back since. */
  knowAgain(writer: string): void {
    const { memory } = this.#around;
    if (this.writers.has(writer) || !memory.madeHere(writer)) return;
    memory.keep({ was: [...(memory.now.was ?? []), writer] });
  }

  /** @param place '' for the folder itself, else the folder of a student in it */
  put(content: Content, place: string): Result<Written> {
    return this.#writing((folder) =>
      this.#write(path.join(folder, place), this.#around.memory.place(place), content),
    );
  }

  /** Is what is written next in a place written under the name of what is there? */
  keepsName(place: string): boolean {
    const { folder } = this.#around.memory.now;
    const { writer, last } = this.#around.memory.place(place);
    return folder !== undefined && this.#highestOf(path.join(folder, place, HOME, writer)) === last;
  }

  /** Is the chosen folder the one that this machine wrote into last, whatever it is called now? */
  get wroteHereLast(): boolean {
    const { places } = this.#around.memory.now;
    return places.some(({ place, last }) => last > 0 && this.keepsName(place));
  }

  /** Those for which a later one says that it stands: the numbers of a copied data folder's files are the same. */
  replaced(): readonly Replaced[] {
    const { memory, reader } = this.#around;
    return this.#replacedOn(reader.look(memory.now.folder).shelf);
  }

  #replacedOn(shelf: Shelf): readonly Replaced[] {
    const mine = this.writers;
    const standing = standingFor(shelf);
    return [...shelf].flatMap(([id, one]): readonly Replaced[] => {
      const by = mine.has(one.writer) ? standing(one.writer, one.number) : undefined;
      return by ? [{ id, one, by }] : [];
    });
  }

  /**
   * Takes away those of {@link replaced} whose content is known to stand elsewhere, and what is left of such where a
   * service brought back a part.
   */
  sweep(isElsewhere: (one: Replaced) => boolean): void {
    const { memory, reader, files, afterWriting } = this.#around;
    const { shelf, broken } = reader.look(memory.now.folder);
    const mine = this.writers;
    const standsElsewhere = stoodForOn(shelf);
    const replaced = this.#replacedOn(shelf)
      .filter(isElsewhere)
      .flatMap(({ id }) => reader.filesOf(id));
    const parts = broken.filter((file) => {
      const writer = path.basename(path.dirname(file));
      return mine.has(writer) && standsElsewhere(writer, numberIn(path.basename(file)));
    });
    for (const file of [...replaced, ...parts]) files.remove(file);
    if (replaced.length + parts.length > 0) afterWriting?.();
  }

  /** Empties those that are asked for, with their copies; the numbers stay, so that nobody waits for them. */
  empty(which: (segment: OnShelf, id: string) => boolean): Result<{ readonly emptied: number }> {
    const { reader, files } = this.#around;
    if (!this.isThere) return ok({ emptied: 0 });
    return this.#writing((folder) => {
      const mine = this.writers;
      const own = [...reader.look(folder).shelf].filter(
        ([id, segment]) => mine.has(segment.writer) && which(segment, id),
      );
      for (const [id, segment] of own)
        for (const file of reader.filesOf(id)) files.write(file, writeSegment(emptied(segment)));
      this.#around.afterWriting?.();
      return { emptied: own.length };
    });
  }

  /** Takes away all of them, in every place; whatever is written next begins anew. */
  withdraw(): Result<null> {
    const { memory, files } = this.#around;
    return this.#writing((folder) => {
      const mine = this.writers;
      for (const place of [folder, ...foldersIn(folder, files)]) {
        for (const home of foldersIn(path.join(place, HOME), files))
          if (mine.has(path.basename(home))) files.removeFolder(home);
        if (place === folder) continue;
        files.removeIfEmpty(path.join(place, HOME));
        files.removeIfEmpty(place);
      }
      const { places, was = [] } = memory.now;
      memory.keep({
        places: [],
        was: [...was, ...places.map(({ writer }) => writer)],
        given: undefined,
      });
      this.#around.afterWriting?.();
      return null;
    });
  }

  /** Takes away those in a student's folder; what others wrote there stays. True where something of it does. */
  leave(place: string): Result<boolean> {
    const { memory, files } = this.#around;
    return this.#writing((folder) => {
      const { writer } = memory.place(place);
      files.removeFolder(path.join(folder, place, HOME, writer));
      for (const one of [path.join(folder, place, HOME), path.join(folder, place)])
        files.removeIfEmpty(one);
      const { places, was = [] } = memory.now;
      memory.keep({
        places: places.filter((one) => one.place !== place),
        was: [...was, writer],
      });
      return files.isFolder(path.join(folder, place));
    });
  }

  /** Can the chosen folder be reached? Where a drive is not connected, an empty folder may stand in its place. */
  get isThere(): boolean {
    const { folder } = this.#around.memory.now;
    return folder !== undefined && this.#around.files.isFolder(path.join(folder, HOME));
  }

  /** What is told where it is not there. */
  get whyAway(): Problem {
    const { folder = '' } = this.#around.memory.now;
    return this.#around.files.isFolder(folder) ? empty(folder) : away(folder);
  }

  #writing<T>(work: (folder: string) => T): Result<T> {
    this.#around.beforeWriting?.();
    const { folder } = this.#around.memory.now;
    if (folder === undefined || !this.isThere) return fail(this.whyAway);
    try {
      return ok(work(folder));
    } catch (error) {
      return fail(notWritten(folder, error));
    }
  }

  /** A number is never used twice: where the folder and the memory differ, a new writer begins at 1. */
  #write(folder: string, before: WriterPlace, content: Content): Written {
    const { memory, files, now } = this.#around;
    this.#clearParts(path.join(folder, HOME, before.writer));
    const there = this.#highestOf(path.join(folder, HOME, before.writer));
    const writer = there === before.last ? before.writer : memory.newWriter();
    const number = there === before.last ? before.last + 1 : 1;
    if (writer !== before.writer) {
      // Before it is written under: where the program ends in between, it is known whose file that is.
      memory.keep({ was: [...(memory.now.was ?? []), before.writer] });
      memory.keepPlace({ place: before.place, writer, last: 0 });
    }
    const home = path.join(folder, HOME, writer);
    files.makeFolder(home);
    const written = isoTimeOf(now());
    const text = writeSegment({ writer, number, written, ...content });
    const hash = hashIn(text);
    files.write(path.join(home, segmentName(number, hash)), text);
    memory.keepPlace({ place: before.place, writer, last: number });
    this.#around.afterWriting?.();
    return { writer, number, hash };
  }

  /** Half of a file that was being written when the program ended goes: nobody else writes there. */
  #clearParts(home: string): void {
    const { files } = this.#around;
    for (const { name } of files.inside(home))
      if (name.endsWith(PART)) files.remove(path.join(home, name));
  }

  #highestOf = (home: string): number =>
    this.#around.files
      .inside(home)
      .filter(({ name }) => !name.endsWith(PART))
      .reduce((most, { name }) => Math.max(most, numberIn(name)), 0);
}

/** What it stands for stays. */
const emptied = ({ writer, number, written, instead, again }: OnShelf): Segment => ({
  ...{ writer, number, written },
  ...(instead ? { instead } : {}),
  ...(again ? { again } : {}),
});

/** @param folder with its whole path */
export const notThere = (folder: string): Problem => ({
  code: 'shared-away',
  message: `The shared folder ${folder} is not there`,
  cure: 'Write the whole path of a folder that this computer can see, or connect its drive.',
});

const away = (folder: string): Problem => ({
  code: 'shared-away',
  message: `The shared folder ${folder} cannot be reached now`,
  cure: 'Connect its drive or network. If it lies elsewhere now, choose it there.',
});

const empty = (folder: string): Problem => ({
  code: 'shared-away',
  message: `The shared folder ${folder} is there, but what Rungwise keeps in it is not`,
  cure: 'Connect its drive, or wait until your file service has brought everything. If somebody has emptied the folder, choose it again.',
});

/** @param error what the disk said */
export const notWritten = (folder: string, error: unknown): Problem => ({
  code: 'shared-unwritable',
  message: `Nothing could be written into ${folder}: ${inWords(error)}`,
  cure: 'Make room there, or allow writing. Nothing was lost.',
});
