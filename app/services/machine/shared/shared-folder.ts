// The shared folder: what others wrote there is read, what this machine writes stands in files of its own.
import fs from 'node:fs';
import path from 'node:path';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import type { Batch } from '../../../core/exchange/shared/facts.ts';
import {
  hashIn,
  numberIn,
  type Parcel,
  readSegment,
  type Segment,
  segmentName,
  type SegmentReading,
  writeSegment,
} from '../../../core/exchange/shared/segment.ts';
import {
  joinShelves,
  newestParcels,
  type OnShelf,
  type ParcelOnShelf,
  type Shelf,
  shelved,
  writersOf,
} from '../../../core/exchange/shared/shelf.ts';
import type { SharedState } from '../../contract/shared.ts';
import { inWords, syncDirectory } from '../store/durable.ts';
import { fileName } from '../store/file-name.ts';
import { openMemory, type Place, type SharedMemory } from './memory.ts';
import { HOME, segmentFilesIn } from './places.ts';

export interface SharedOptions {
  /** The data folder. */
  readonly directory: string;
  readonly now: () => Date;
  readonly newId: () => string;
  /** How the teacher's desk calls a student; undefined where it does not know one. */
  readonly nameOf?: (student: string) => string | undefined;
  /** Asked before anything is written: somebody may have locked the folder meanwhile. */
  readonly beforeWriting?: () => void;
  readonly afterWriting?: () => void;
  /** What was read of batches in an earlier run, by file, size and time. */
  readonly heads?: KeptHeads | undefined;
}

/** So that a log of many files is not read through at every start. */
export interface KeptHeads {
  readonly get: (key: string) => ReadHead | undefined;
  readonly set: (key: string, head: ReadHead) => void;
}

export interface ReadHead {
  readonly hash: string;
  readonly segment: OnShelf;
}

/** What was written, and where. */
export interface Written {
  readonly writer: string;
  readonly number: number;
  readonly hash: string;
}

export class SharedFolder {
  readonly #options: SharedOptions;
  readonly memory: SharedMemory;
  /** By path, size and time: what was read once is not read again. */
  readonly #read = new Map<string, ReadHead>();
  /** Where the segments of the last look lie, by their hash: copies of one, too. */
  #files: ReadonlyMap<string, readonly string[]> = new Map();

  constructor(options: SharedOptions) {
    this.#options = options;
    this.memory = openMemory(options.directory, options.newId);
  }

  state(): SharedState {
    const { folder, taken, folders, reports, looksFirst } = this.memory.now;
    const chosen = {
      ...(reports ? { reportsTo: reports.to } : {}),
      ...(looksFirst ? { looksFirst } : {}),
    };
    if (folder === undefined) return { writers: [], waiting: [], written: [], ...chosen };
    const { shelf, flawed } = this.look();
    const mine = this.writers;
    const file = (id: string): string => path.relative(folder, this.#files.get(id)!.at(-1)!);
    return {
      ...{ folder, ...chosen },
      writers: writersOf(shelf).map((one) => ({ ...one, mine: mine.has(one.writer) })),
      waiting: this.#others(shelf)
        .filter(({ id }) => !taken.includes(id))
        .map(headOf),
      written: [...shelf]
        .filter(([, { writer, parcel, batch }]) => mine.has(writer) && (parcel ?? batch))
        .map(([id, { number, written, parcel, batch }]) => ({
          ...{ number, written, file: file(id) },
          ...(parcel ? { name: parcel.name } : { records: batch!.facts }),
        }))
        .sort((a, b) => (a.file < b.file ? -1 : 1)),
      ...(flawed.length > 0 ? { flawed } : {}),
      ...(this.#isHere(folder) ? {} : { away: true }),
      ...(folders
        ? {
            folders: Object.entries(folders).map(([student, name]) => ({ student, name })),
          }
        : {}),
    };
  }

  /** Undefined leaves the shared folder; nothing in it is changed. */
  choose(folder: string | undefined): Result<null> {
    if (folder === undefined) {
      this.memory.keep({ folder: undefined });
      return ok(null);
    }
    if (!path.isAbsolute(folder) || !this.#isHere(folder)) return fail(notThere(folder));
    try {
      fs.mkdirSync(path.join(folder, HOME), { recursive: true });
    } catch (error) {
      return fail(notWritten(folder, error));
    }
    this.memory.keep({ folder });
    return ok(null);
  }

  /** From now on each student has a folder in the shared one, which can be shared with that student alone; or all have one. */
  parted(students: readonly string[] | undefined): Result<null> {
    const { folder } = this.memory.now;
    if (folder === undefined || !this.#isHere(folder)) return fail(notThere(folder ?? ''));
    if (!students) {
      this.memory.keep({ folders: undefined });
      return ok(null);
    }
    try {
      this.memory.keep({ folders: this.memory.now.folders ?? {} });
      for (const student of students)
        fs.mkdirSync(path.join(folder, this.#folderOf(student), HOME), { recursive: true });
      return ok(null);
    } catch (error) {
      return fail(notWritten(folder, error));
    }
  }

  post(parcel: Parcel): Result<Written> {
    const apart = parcel.kind === 'sheet' && this.memory.now.folders !== undefined;
    return this.#put({ parcel }, apart ? this.#folderOf(parcel.student) : '');
  }

  /** What this machine tells the others of its player. */
  tell(batch: Batch): Result<Written> {
    return this.#put({ batch }, '');
  }

  open(id: string): Result<string> {
    const segment = this.look().shelf.get(id);
    return segment?.parcel ? ok(segment.parcel.text) : fail(goneParcel);
  }

  /** What a batch on the shelf of the last look holds; undefined where it is there no more. */
  batch(id: string): Batch | undefined {
    const file = this.#files.get(id)?.[0];
    const read = file === undefined ? undefined : attempt(() => readFile(file));
    return read?.kind === 'whole' && read.hash === id ? read.segment.batch : undefined;
  }

  /** Reports that others wrote and that were not taken in, in the order in which they were written. */
  reports(): readonly ParcelOnShelf[] {
    const { folder, taken } = this.memory.now;
    if (folder === undefined) return [];
    return this.#others(this.look().shelf).filter(
      ({ id, parcel }) => parcel.kind === 'report' && !taken.includes(id),
    );
  }

  /** It was taken in or put away, and is not offered again. */
  taken(id: string): void {
    this.memory.keep({ taken: [...new Set([...this.memory.now.taken, id])].slice(-MOST_TAKEN) });
  }

  /** Takes out what this machine wrote of a student; numbers that others may wait for stay, empty. */
  forget(student: string): Result<{ readonly emptied: number }> {
    const emptied = this.empty(({ parcel }) => parcel?.student === student);
    const { folder, folders = {} } = this.memory.now;
    const place = new Map(Object.entries(folders)).get(student);
    if (!emptied.ok || folder === undefined || place === undefined) return emptied;
    try {
      const { writer } = this.memory.place(place);
      fs.rmSync(path.join(folder, place, HOME, writer), { recursive: true, force: true });
      removeIfEmpty(path.join(folder, place, HOME), path.join(folder, place));
      // Where the student's own files stay, the folder goes on to be this student's.
      const stays = fs.existsSync(path.join(folder, place));
      const { places, was = [] } = this.memory.now;
      this.memory.keep({
        places: places.filter((one) => one.place !== place),
        was: [...was, writer],
        folders: Object.fromEntries(
          Object.entries(folders).filter(([id]) => stays || id !== student),
        ),
      });
      return emptied;
    } catch (error) {
      return fail(notWritten(folder, error));
    }
  }

  /** Empties what this machine wrote; the numbers stay, so that nobody waits for them. */
  empty(which: (segment: OnShelf) => boolean): Result<{ readonly emptied: number }> {
    this.#options.beforeWriting?.();
    const { folder } = this.memory.now;
    if (folder === undefined || !this.#isHere(folder)) return ok({ emptied: 0 });
    const mine = this.writers;
    const own = [...this.look().shelf].filter(
      ([, segment]) => mine.has(segment.writer) && which(segment),
    );
    try {
      for (const [id, { writer, number, written }] of own)
        for (const file of this.#files.get(id)!)
          writeWhole(file, writeSegment({ writer, number, written }));
      this.#options.afterWriting?.();
      return ok({ emptied: own.length });
    } catch (error) {
      return fail(notWritten(folder, error));
    }
  }

  /** Everything that has arrived, in whatever order, and what could not be used of it. */
  look(): { readonly shelf: Shelf; readonly flawed: readonly string[] } {
    const { folder } = this.memory.now;
    const shelves: Shelf[] = [];
    const flawed: string[] = [];
    const files = new Map<string, string[]>();
    for (const file of folder === undefined ? [] : segmentFilesIn(folder)) {
      const found = this.#readOnce(file);
      if (typeof found === 'string') {
        flawed.push(`${path.relative(folder!, file)}: ${found}`);
        continue;
      }
      shelves.push(new Map([[found.hash, found.segment]]));
      files.set(found.hash, [...(files.get(found.hash) ?? []), file]);
    }
    this.#files = files;
    return { shelf: joinShelves(...shelves), flawed };
  }

  /** The names under which this machine writes and wrote. */
  get writers(): ReadonlySet<string> {
    const { places, was = [] } = this.memory.now;
    return new Set([...was, ...places.map(({ writer }) => writer)]);
  }

  #others(shelf: Shelf): readonly ParcelOnShelf[] {
    const mine = this.writers;
    return newestParcels(shelf).filter(({ segment }) => !mine.has(segment.writer));
  }

  /** Can the chosen folder be reached? */
  get isThere(): boolean {
    const { folder } = this.memory.now;
    return folder !== undefined && this.#isHere(folder);
  }

  #isHere = (folder: string): boolean =>
    fs.statSync(folder, { throwIfNoEntry: false })?.isDirectory() === true;

  /** A student's folder in the shared one, by the name on the list; it keeps that name. */
  #folderOf(student: string): string {
    const folders = new Map(Object.entries(this.memory.now.folders ?? {}));
    const known = folders.get(student);
    if (known !== undefined) return known;
    const plain = fileName(this.#options.nameOf?.(student) ?? student);
    const taken = new Set([HOME, ...folders.values()].map((name) => name.toLowerCase()));
    const isTaken = (name: string): boolean =>
      taken.has(name.toLowerCase()) || fs.existsSync(path.join(this.memory.now.folder!, name));
    let name = plain;
    for (let n = 2; isTaken(name); n++) name = `${plain} (${n})`;
    this.memory.keep({ folders: Object.fromEntries(folders.set(student, name)) });
    return name;
  }

  #put(content: Pick<Segment, 'parcel' | 'batch'>, place: string): Result<Written> {
    this.#options.beforeWriting?.();
    const { folder } = this.memory.now;
    if (folder === undefined || !this.#isHere(folder)) return fail(notThere(folder ?? ''));
    try {
      return ok(this.#write(path.join(folder, place), this.memory.place(place), content));
    } catch (error) {
      return fail(notWritten(folder, error));
    }
  }

  /** A number is never used twice: where the folder and the memory differ, a new writer begins at 1. */
  #write(folder: string, before: Place, content: Pick<Segment, 'parcel' | 'batch'>): Written {
    const there = highestOf(path.join(folder, HOME, before.writer));
    const writer = there === before.last ? before.writer : this.#options.newId();
    const number = there === before.last ? before.last + 1 : 1;
    const home = path.join(folder, HOME, writer);
    fs.mkdirSync(home, { recursive: true });
    const written = isoTimeOf(this.#options.now());
    const text = writeSegment({ writer, number, written, ...content });
    const hash = hashIn(text);
    writeWhole(path.join(home, segmentName(number, hash)), text);
    if (writer !== before.writer && before.last > 0)
      this.memory.keep({ was: [...(this.memory.now.was ?? []), before.writer] });
    this.memory.keepPlace({ place: before.place, writer, last: number });
    this.#options.afterWriting?.();
    return { writer, number, hash };
  }

  #readOnce(file: string): ReadHead | string {
    try {
      const { size, mtimeMs } = fs.statSync(file);
      if (size > MOST_BYTES) return 'it is larger than any that Rungwise writes';
      const key = `${file}\n${size}\n${mtimeMs}`;
      const known = this.#read.get(key) ?? this.#options.heads?.get(key);
      if (known) {
        this.#read.set(key, known);
        return known;
      }
      const read = readFile(file);
      if (read.kind !== 'whole') return FLAWS[read.kind];
      const head = { hash: read.hash, segment: shelved(read.segment) };
      this.#read.set(key, head);
      if (head.segment.batch) this.#options.heads?.set(key, head);
      return head;
    } catch (error) {
      return `it cannot be read: ${inWords(error)}`;
    }
  }
}

/** More than a class sends in years. */
const MOST_TAKEN = 20_000;
const MOST_BYTES = 64_000_000;

const FLAWS = {
  partial: 'it is still on its way',
  spoilt: 'it is not what was written; ask for it again',
  newer: 'a newer Rungwise wrote it; update this one',
} as const;

/** @throws Error where it cannot be read. */
const readFile = (file: string): SegmentReading => readSegment(fs.readFileSync(file, 'utf8'));

const highestOf = (home: string): number =>
  (fs.existsSync(home) ? fs.readdirSync(home) : []).reduce(
    (most, name) => Math.max(most, numberIn(name)),
    0,
  );

/** What others wrote there stays. */
function removeIfEmpty(...folders: readonly string[]): void {
  for (const folder of folders)
    if (fs.existsSync(folder) && fs.readdirSync(folder).length === 0) fs.rmdirSync(folder);
}

function attempt<T>(work: () => T): T | undefined {
  try {
    return work();
  } catch {
    return undefined;
  }
}

/** A reader sees the whole file or none; what is there is replaced by its own writer only. */
function writeWhole(file: string, text: string): void {
  const temporary = `${file}.part`;
  const handle = fs.openSync(temporary, 'w', 0o644);
  try {
    fs.writeFileSync(handle, text);
    fs.fsyncSync(handle);
  } finally {
    fs.closeSync(handle);
  }
  fs.renameSync(temporary, file);
  syncDirectory(path.dirname(file));
}

const headOf = ({ id, segment, parcel }: ParcelOnShelf) => ({
  ...{ id, kind: parcel.kind, student: parcel.student, name: parcel.name },
  written: segment.written,
});

const notThere = (folder: string): Problem => ({
  code: 'shared-away',
  message: `The shared folder ${folder} is not there`,
  cure: 'Write the whole path of a folder that this computer can see, or connect its drive.',
});

const notWritten = (folder: string, error: unknown): Problem => ({
  code: 'shared-unwritable',
  message: `Nothing could be written into ${folder}: ${inWords(error)}`,
  cure: 'Make room or allow writing there, then try again. Nothing was lost.',
});

const goneParcel: Problem = {
  code: 'shared-gone',
  message: 'This is not in the shared folder any more',
  cure: 'Ask for it again.',
};
