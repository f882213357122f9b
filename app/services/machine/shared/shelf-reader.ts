// Reads the files of a shared folder into a shelf: each once, as long as it stays as it is.
import path from 'node:path';
import {
  readSegment,
  type Segment,
  type SegmentReading,
} from '../../../core/exchange/shared/segment.ts';
import {
  joinShelves,
  type OnShelf,
  type Shelf,
  shelved,
} from '../../../core/exchange/shared/shelf.ts';
import { inWords } from '../store/durable.ts';
import type { Files } from './files.ts';
import { attempt } from '../store/durable.ts';
import { HOME, segmentFilesIn } from './places.ts';

/** So that a log of many files is not read through at every start. */
export interface KeptHeads {
  readonly get: (key: string) => ReadHead | undefined;
  readonly set: (key: string, head: ReadHead) => void;
}

export interface ReadHead {
  readonly hash: string;
  readonly segment: OnShelf;
}

export interface Look {
  readonly shelf: Shelf;
  /** What could not be used, with why. */
  readonly flawed: readonly string[];
  /** Whole paths of those that are not what was written, or not all of it. */
  readonly broken: readonly string[];
}

export class ShelfReader {
  readonly #files: Files;
  readonly #heads: KeptHeads | undefined;
  /** By path, size and time: what was read once is not read again. */
  readonly #read = new Map<string, ReadHead>();
  /** Where the segments of the last look lie, by their hash: copies of one, too. */
  #found: ReadonlyMap<string, readonly string[]> = new Map();

  constructor(files: Files, heads: KeptHeads | undefined) {
    this.#files = files;
    this.#heads = heads;
  }

  /** @param folder undefined where none is chosen: then nothing is there */
  look(folder: string | undefined): Look {
    const shelves: Shelf[] = [];
    const flawed: string[] = [];
    const broken: string[] = [];
    const found = new Map<string, string[]>();
    for (const file of this.#filesIn(folder, flawed)) {
      const head = this.#readOnce(file);
      if (typeof head === 'string') {
        flawed.push(`${path.relative(folder!, file)}: ${head}`);
        if (head === FLAWS.partial || head === FLAWS.spoilt) broken.push(file);
        continue;
      }
      shelves.push(new Map([[head.hash, head.segment]]));
      found.set(head.hash, [...(found.get(head.hash) ?? []), file]);
    }
    this.#found = found;
    return { shelf: joinShelves(...shelves), flawed, broken };
  }

  /** @param flawed told where the folder is there and cannot be read */
  #filesIn(folder: string | undefined, flawed: string[]): readonly string[] {
    try {
      return folder === undefined ? [] : segmentFilesIn(folder, this.#files);
    } catch (error) {
      flawed.push(`${HOME}: it cannot be read: ${inWords(error)}`);
      return [];
    }
  }

  /** Whole paths of a segment and its copies, at the last look. */
  filesOf = (id: string): readonly string[] => this.#found.get(id) ?? [];

  /** All of a segment of the last look; undefined where it is there no more. */
  whole(id: string): Segment | undefined {
    const [file] = this.filesOf(id);
    const read = file === undefined ? undefined : attempt(() => this.#readFile(file));
    return read?.kind === 'whole' && read.hash === id ? read.segment : undefined;
  }

  #readOnce(file: string): ReadHead | string {
    try {
      const { bytes, time } = this.#files.stamp(file);
      if (bytes > MOST_BYTES) return 'it is larger than any that Rungwise writes';
      const key = `${file}\n${bytes}\n${time}`;
      const known = this.#read.get(key) ?? this.#heads?.get(key);
      if (known) {
        this.#read.set(key, known);
        return known;
      }
      const read = this.#readFile(file);
      if (read.kind !== 'whole') return FLAWS[read.kind];
      const head = { hash: read.hash, segment: shelved(read.segment) };
      this.#read.set(key, head);
      if (head.segment.batch ?? head.segment.recording) this.#heads?.set(key, head);
      return head;
    } catch (error) {
      return `it cannot be read: ${inWords(error)}`;
    }
  }

  /** @throws Error where it cannot be read. */
  #readFile = (file: string): SegmentReading => readSegment(this.#files.read(file));
}

const MOST_BYTES = 64_000_000;

const FLAWS = {
  partial: 'it is still on its way',
  spoilt: 'it is not what was written; ask for it again',
  newer: 'a newer Rungwise wrote it; update this one',
} as const;
