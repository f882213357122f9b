// The shared folder: what others wrote there is read, what this machine writes stands in files of its own.
import fs from 'node:fs';
import path from 'node:path';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import {
  type Parcel,
  readSegment,
  SEGMENT_ENDING,
  segmentName,
  writeSegment,
} from '../../../core/exchange/shared/segment.ts';
import {
  joinShelves,
  newestParcels,
  type ParcelOnShelf,
  type Shelf,
  writersOf,
} from '../../../core/exchange/shared/shelf.ts';
import type { SharedState } from '../../contract/shared.ts';
import { inWords, syncDirectory } from '../store/durable.ts';
import { openMemory, type SharedMemory } from './memory.ts';

interface SharedOptions {
  /** The data folder. */
  readonly directory: string;
  readonly now: () => Date;
  readonly newId: () => string;
}

/** Everything lies in this folder of the chosen one, a folder for each writer in it. */
const HOME = 'rungwise-shared';

export class SharedFolder {
  readonly #options: SharedOptions;
  #memory: SharedMemory;
  /** By path, size and time: what was read once is not read again. */
  readonly #read = new Map<string, Shelf>();

  constructor(options: SharedOptions) {
    this.#options = options;
    this.#memory = openMemory(options.directory, options.newId);
  }

  state(): SharedState {
    const { folder, writer, taken } = this.#memory.now;
    if (folder === undefined) return { writers: [], waiting: [], written: [] };
    const { shelf, flawed } = this.#look(folder);
    const others = newestParcels(shelf).filter(({ segment }) => segment.writer !== writer);
    return {
      folder,
      writers: writersOf(shelf).map((one) => ({ ...one, mine: one.writer === writer })),
      waiting: others.filter(({ id }) => !taken.includes(id)).map(headOf),
      written: [...shelf.values()]
        .filter((segment) => segment.writer === writer && segment.parcel !== undefined)
        .sort((a, b) => a.number - b.number)
        .map(({ number, written, parcel }) => ({
          ...{ number, written, name: parcel!.name },
          file: path.join(HOME, writer, segmentName(number)),
        })),
      ...(flawed.length > 0 ? { flawed } : {}),
      ...(this.#isHere(folder) ? {} : { away: true }),
    };
  }

  /** Undefined leaves the shared folder; nothing in it is changed. */
  choose(folder: string | undefined): Result<null> {
    if (folder === undefined) {
      this.#memory.keep({ folder: undefined });
      return ok(null);
    }
    if (!path.isAbsolute(folder) || !this.#isHere(folder)) return fail(notThere(folder));
    try {
      fs.mkdirSync(path.join(folder, HOME, this.#memory.now.writer), { recursive: true });
    } catch (error) {
      return fail(notWritten(folder, error));
    }
    this.#memory.keep({ folder });
    return ok(null);
  }

  post(parcel: Parcel): Result<null> {
    const { folder } = this.#memory.now;
    if (folder === undefined || !this.#isHere(folder)) return fail(notThere(folder ?? ''));
    try {
      this.#write(folder, parcel);
      return ok(null);
    } catch (error) {
      return fail(notWritten(folder, error));
    }
  }

  open(id: string): Result<string> {
    const { folder } = this.#memory.now;
    const segment = folder === undefined ? undefined : this.#look(folder).shelf.get(id);
    return segment?.parcel ? ok(segment.parcel.text) : fail(goneParcel);
  }

  /** It was taken in or put away, and is not offered again. */
  taken(id: string): void {
    this.#memory.keep({ taken: [...new Set([...this.#memory.now.taken, id])].slice(-MOST_TAKEN) });
  }

  /** Empties what this machine wrote of a student; the numbers stay, so that nobody waits for them. */
  forget(student: string): Result<{ readonly emptied: number }> {
    const { folder, writer } = this.#memory.now;
    if (folder === undefined || !this.#isHere(folder)) return ok({ emptied: 0 });
    const own = [...this.#look(folder).shelf.values()].filter(
      (segment) => segment.writer === writer && segment.parcel?.student === student,
    );
    try {
      for (const { number, written } of own) {
        const file = path.join(folder, HOME, writer, segmentName(number));
        writeWhole(file, writeSegment({ writer, number, written }));
      }
      return ok({ emptied: own.length });
    } catch (error) {
      return fail(notWritten(folder, error));
    }
  }

  #isHere = (folder: string): boolean =>
    fs.statSync(folder, { throwIfNoEntry: false })?.isDirectory() === true;

  /** A number is never used twice: where the folder and the memory differ, a new writer begins at 1. */
  #write(folder: string, parcel: Parcel): void {
    const { writer: before, last } = this.#memory.now;
    const there = this.#highest(folder, before);
    const writer = there === last ? before : this.#options.newId();
    const number = there === last ? last + 1 : 1;
    const home = path.join(folder, HOME, writer);
    fs.mkdirSync(home, { recursive: true });
    const written = isoTimeOf(this.#options.now());
    writeWhole(
      path.join(home, segmentName(number)),
      writeSegment({ writer, number, written, parcel }),
    );
    this.#memory.keep({ writer, last: number });
  }

  #highest(folder: string, writer: string): number {
    const home = path.join(folder, HOME, writer);
    const names = fs.existsSync(home) ? fs.readdirSync(home) : [];
    return names.reduce(
      (most, name) => Math.max(most, Number(/^(\d{6})\./.exec(name)?.[1] ?? 0)),
      0,
    );
  }

  #look(folder: string): { readonly shelf: Shelf; readonly flawed: readonly string[] } {
    const shelves: Shelf[] = [];
    const flawed: string[] = [];
    for (const file of filesIn(path.join(folder, HOME))) {
      const found = this.#readOnce(file);
      if (typeof found === 'string') flawed.push(`${path.relative(folder, file)}: ${found}`);
      else shelves.push(found);
    }
    return { shelf: joinShelves(...shelves), flawed };
  }

  #readOnce(file: string): Shelf | string {
    try {
      const { size, mtimeMs } = fs.statSync(file);
      if (size > MOST_BYTES) return 'it is larger than any that Rungwise writes';
      const key = `${file}\n${size}\n${mtimeMs}`;
      const known = this.#read.get(key);
      if (known) return known;
      const read = readSegment(fs.readFileSync(file, 'utf8'));
      if (read.kind !== 'whole') return FLAWS[read.kind];
      const shelf = new Map([[read.hash, read.segment]]);
      this.#read.set(key, shelf);
      return shelf;
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

function filesIn(home: string): string[] {
  if (!fs.existsSync(home)) return [];
  return fs
    .readdirSync(home, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .flatMap(({ name }) =>
      fs
        .readdirSync(path.join(home, name))
        .filter((file) => file.endsWith(SEGMENT_ENDING))
        .map((file) => path.join(home, name, file)),
    )
    .sort();
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
