// A library of documents of one kind (charts, ladders, students …) in one file: list, save, remove, restore.
// A document that cannot be understood is named and kept in the file as it is, beside the others.
import type { Problem, Result } from '../../../core/base/result.ts';
import { fail, ok } from '../../../core/base/result.ts';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import type { IsoTime } from '../../../core/base/units.ts';
import type { SafeKeeping } from './backups.ts';
import { inWords } from './durable.ts';
import { goneMark } from './gone-mark.ts';
import type { FileKind, StoreEngine, StoreFile, WithEarlier } from './store-file.ts';
import { openStoreFile, readDocument } from './store-file.ts';

/** Everything a kind of document needs to be kept. Adding a kind is one of these and its calls. */
export interface DocumentKind<T> {
  /** For messages: "the charts" … */
  readonly what: string;
  /** … and one of them: "chart". */
  readonly one: string;
  readonly schemaVersion: number;
  readonly migrations: FileKind<unknown>['migrations'];
  readonly idOf: (document: T) => string;
  readonly parse: (raw: unknown) => Result<T>;
  /** What a data directory without the file starts with. */
  readonly seed: () => readonly T[];
}

export interface Removed<T> {
  readonly at: IsoTime;
  readonly document: T;
}

interface Shelf {
  readonly items: readonly unknown[];
  readonly removed: readonly { readonly at: IsoTime; readonly item: unknown }[];
  /** Marks of those that were removed for good; absent where there are none. */
  readonly gone?: readonly string[];
}

/** Removed documents that can still be brought back. */
export const KEPT_REMOVED = 50;

const shelfKind = <T>(kind: DocumentKind<T>): FileKind<Shelf> => ({
  what: kind.what,
  schemaVersion: kind.schemaVersion,
  migrations: kind.migrations,
  flaw: ({ items, removed, gone = [] }) =>
    [items, removed, gone].every(Array.isArray) ? undefined : '‘items’ is not a list',
  empty: () => ({ items: kind.seed(), removed: [] }),
});

/** Opens what is kept of a kind, read and checked once; what cannot be read is among its problems. */
export function openDocuments<T>(
  file: string,
  kind: DocumentKind<T>,
  engine: StoreEngine,
  keeping: SafeKeeping,
): Documents<T> {
  return new Documents(kind, openStoreFile(file, shelfKind(kind), engine, keeping), keeping);
}

/** The documents in a text that was written as such a file, here or elsewhere. */
export function readShelf<T>(
  text: string,
  kind: DocumentKind<T>,
): { readonly documents: readonly T[]; readonly problems: readonly Problem[] } {
  const read = readDocument(text, shelfKind(kind));
  if (read.kind === 'newer' || read.kind === 'bad')
    return { documents: [], problems: [notTaken(kind.what, read)] };
  const { known, problems } = sort(read.value.items, kind);
  return {
    documents: [...known.values()],
    problems: read.kind === 'changed' ? [takenChanged(kind.what), ...problems] : problems,
  };
}

/** @param what of the archive, in the plural: "the students" */
export const notTaken = (
  what: string,
  read: { kind: 'newer' } | { kind: 'bad'; why: string },
): Problem => ({
  code: 'document-not-understood',
  message: `In this archive ${what} could not be read: ${read.kind === 'bad' ? read.why : 'a newer Rungwise wrote them'}.`,
  cure: 'The rest can be brought in.',
});

/** @param what of the archive, in the plural: "the students" */
export const takenChanged = (what: string): Problem => ({
  code: 'document-changed',
  message: `In this archive ${what} are not as Rungwise wrote them: somebody or something changed them.`,
  cure: 'Look through them once they are here.',
});

export class Documents<T> implements WithEarlier {
  /** What was found wrong when the file was opened. */
  readonly problems: readonly Problem[];
  readonly #kind: DocumentKind<T>;
  readonly #file: StoreFile<Shelf>;
  readonly #keeping: SafeKeeping;
  #known: ReadonlyMap<string, T> = new Map();
  /** Kept in the file as they are. */
  #strangers: readonly unknown[] = [];
  #removed: readonly Removed<T>[] = [];
  #gone: ReadonlySet<string> = new Set();

  constructor(kind: DocumentKind<T>, file: StoreFile<Shelf>, keeping: SafeKeeping) {
    this.#kind = kind;
    this.#file = file;
    this.#keeping = keeping;
    this.problems = [...file.problems, ...this.#take(file.value)];
  }

  #take(whole: Shelf): readonly Problem[] {
    // An earlier copy does not bring back who was removed for good.
    this.#gone = new Set([...this.#gone, ...marksIn(whole)]);
    const shelf = without(whole, this.#gone);
    const { known, strangers, problems } = sort(shelf.items, this.#kind);
    this.#known = known;
    this.#strangers = strangers;
    this.#removed = readRemoved(shelf, this.#kind);
    return problems;
  }

  list(): readonly T[] {
    return [...this.#known.values()];
  }

  /** Removed documents that can be brought back, newest first. */
  removed(): readonly Removed<T>[] {
    return this.#removed;
  }

  get(id: string): T | undefined {
    return this.#known.get(id);
  }

  /** Marks of those that were removed for good. */
  get gone(): ReadonlySet<string> {
    return this.#gone;
  }
  isGone = (id: string): boolean => this.#gone.size > 0 && this.#gone.has(goneMark(id));

  /** Takes these out for good, by their marks: of what was removed and of the copies, too. None of them is ever kept again. */
  forget(marks: readonly string[]): Result<null> {
    const gone = new Set([...this.#gone, ...marks]);
    const before = this.#gone;
    this.#gone = gone;
    const next = new Map([...this.#known].filter(([id]) => !this.isGone(id)));
    const done = this.#change(null, next, this.#removed);
    if (!done.ok) {
      this.#gone = before;
      return done;
    }
    return this.clearCopies();
  }

  /** Takes who was removed for good out of the copies. */
  clearCopies(): Result<null> {
    try {
      if (this.#gone.size > 0) this.#file.changeCopies((shelf) => without(shelf, this.#gone));
      return ok(null);
    } catch (error) {
      return fail(notSaved(this.#kind.one, error));
    }
  }

  /** Adds the document or replaces the one with its id, also one that was removed. */
  save(raw: unknown): Result<T> {
    const parsed = this.#kind.parse(raw);
    if (!parsed.ok) return parsed;
    const id = this.#kind.idOf(parsed.value);
    if (this.isGone(id)) return fail(goneForGood(this.#kind.one));
    const next = new Map(this.#known).set(id, parsed.value);
    const removed = this.#removed.filter(({ document }) => this.#kind.idOf(document) !== id);
    return this.#change(parsed.value, next, removed);
  }

  /** Puts these in and takes those out, in one go; nothing goes to the removed ones. */
  exchange(put: readonly T[], drop: readonly string[]): Result<null> {
    const next = new Map(this.#known);
    for (const document of put)
      if (!this.isGone(this.#kind.idOf(document))) next.set(this.#kind.idOf(document), document);
    for (const id of drop) next.delete(id);
    return this.#change(null, next, this.#removed);
  }

  idOf(document: T): string {
    return this.#kind.idOf(document);
  }

  remove(id: string): Result<null> {
    const document = this.#known.get(id);
    if (document === undefined) return fail(notThere(this.#kind.one, id));
    const next = new Map(this.#known);
    next.delete(id);
    const at = isoTimeOf(this.#keeping.now());
    return this.#change(null, next, [{ at, document }, ...this.#removed]);
  }

  restore(id: string): Result<T> {
    const found = this.#removed.find(({ document }) => this.#kind.idOf(document) === id);
    if (!found) return fail(notThere(`removed ${this.#kind.one}`, id));
    const next = new Map(this.#known).set(id, found.document);
    const rest = this.#removed.filter((entry) => entry !== found);
    return this.#change(found.document, next, rest);
  }

  earlierDay(): string | undefined {
    return this.#file.earlier(this.#shelf(this.#known, this.#removed))?.day;
  }

  bringEarlier(): void {
    const copy = this.#file.earlier(this.#shelf(this.#known, this.#removed));
    if (!copy) return;
    this.#file.setAside();
    const gone = [...new Set([...this.#gone, ...marksIn(copy.value)])];
    const value = without({ ...copy.value, ...(gone.length > 0 ? { gone } : {}) }, new Set(gone));
    this.#file.save(value);
    this.#take(value);
  }

  #shelf(known: ReadonlyMap<string, T>, removed: readonly Removed<T>[]): Shelf {
    const gone = this.#gone.size > 0 ? { gone: [...this.#gone] } : {};
    const shelf = {
      items: [...known.values(), ...this.#strangers],
      removed: removed.map(({ at, document }) => ({ at, item: document })),
    };
    return without({ ...shelf, ...gone }, this.#gone);
  }

  /** Writes first, changes memory only when that went well: the library never shows what is not kept. */
  #change<R>(value: R, next: ReadonlyMap<string, T>, bin: readonly Removed<T>[]): Result<R> {
    const removed = bin
      .filter(({ document }) => !this.isGone(this.#kind.idOf(document)))
      .slice(0, KEPT_REMOVED);
    try {
      this.#file.save(this.#shelf(next, removed));
    } catch (error) {
      return fail(notSaved(this.#kind.one, error));
    }
    this.#known = next;
    this.#removed = removed;
    return ok(value);
  }
}

/** Marks as they were written; anything else in their place is left out. */
const marksIn = ({ gone = [] }: Shelf): readonly string[] =>
  gone.filter((mark) => typeof mark === 'string');

/** Without those who are gone for good, also where it cannot be understood. */
function without(shelf: Shelf, gone: ReadonlySet<string>): Shelf {
  if (gone.size === 0) return shelf;
  const stays = (item: unknown): boolean => {
    const { id } = (item ?? {}) as { readonly id?: unknown };
    return typeof id !== 'string' || !gone.has(goneMark(id));
  };
  return {
    ...shelf,
    items: shelf.items.filter(stays),
    removed: shelf.removed.filter(({ item }) => stays(item)),
  };
}

interface Sorted<T> {
  readonly known: Map<string, T>;
  /** Kept in the file as they are. */
  readonly strangers: readonly unknown[];
  readonly problems: readonly Problem[];
}

function sort<T>(items: readonly unknown[], kind: DocumentKind<T>): Sorted<T> {
  const known = new Map<string, T>();
  const strangers: unknown[] = [];
  const problems: Problem[] = [];
  items.forEach((item, index) => {
    const parsed = kind.parse(item);
    if (parsed.ok) {
      known.set(kind.idOf(parsed.value), parsed.value);
      return;
    }
    strangers.push(item);
    problems.push({
      code: 'document-not-understood',
      message: `The ${kind.one} in place ${index + 1} of ${kind.what} could not be understood: ${parsed.problems[0]?.message ?? 'it is malformed'}`,
      cure: 'It is kept in the file but not shown.',
    });
  });
  return { known, strangers, problems };
}

const readRemoved = <T>(shelf: Shelf, kind: DocumentKind<T>): readonly Removed<T>[] =>
  shelf.removed.flatMap(({ at, item }) => {
    const parsed = kind.parse(item);
    return parsed.ok ? [{ at, document: parsed.value }] : [];
  });

const notSaved = (one: string, error: unknown): Problem => ({
  code: 'not-saved',
  message: `The ${one} could not be saved: ${inWords(error)}.`,
  cure: 'Make room on the disk or allow writing to the data folder, then save again.',
});

const goneForGood = (one: string): Problem => ({
  code: 'gone-for-good',
  message: `This ${one} was removed for good, and is not kept again`,
  cure: 'Add them anew, by the same name if you like.',
});

const notThere = (one: string, id: string): Problem => ({
  code: 'not-there',
  message: `There is no ${one} ‘${id}’.`,
  cure: 'Choose one from the list.',
});
