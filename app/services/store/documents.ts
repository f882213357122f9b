// A library of documents of one kind (charts, ladders, students …) in one file: list, save, remove, restore.
// A document that cannot be understood is named and kept in the file as it is, beside the others.
import type { Problem, Result } from '../../core/result.ts';
import { fail, ok } from '../../core/result.ts';
import type { IsoTime } from '../../core/units.ts';
import type { SafeKeeping } from './backups.ts';
import { inWords } from './durable.ts';
import type { FileKind, StoreEngine } from './store-file.ts';
import { openStoreFile } from './store-file.ts';

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

export interface Documents<T> {
  readonly list: () => readonly T[];
  /** Removed documents, newest first. */
  readonly removed: () => readonly Removed<T>[];
  readonly get: (id: string) => T | undefined;
  readonly save: (raw: unknown) => Result<T>;
  readonly remove: (id: string) => Result<null>;
  readonly restore: (id: string) => Result<T>;
  /** What was found wrong when the file was opened. */
  readonly problems: readonly Problem[];
}

interface Shelf {
  readonly items: readonly unknown[];
  readonly removed: readonly { readonly at: IsoTime; readonly item: unknown }[];
}

/** Removed documents that can still be brought back. */
const KEPT_REMOVED = 50;

const shelfKind = <T>(kind: DocumentKind<T>): FileKind<Shelf> => ({
  what: kind.what,
  schemaVersion: kind.schemaVersion,
  migrations: kind.migrations,
  flaw: ({ items, removed }) =>
    Array.isArray(items) && Array.isArray(removed) ? undefined : '‘items’ is not a list',
  empty: () => ({ items: kind.seed(), removed: [] }),
});

export function openDocuments<T>(
  file: string,
  kind: DocumentKind<T>,
  engine: StoreEngine,
  keeping: SafeKeeping,
): Documents<T> {
  const stored = openStoreFile(file, shelfKind(kind), engine, keeping);
  const { known, strangers, problems } = sort(stored.value.items, kind);
  let removed = readRemoved(stored.value, kind);
  /** Writes first, changes memory only when that went well: the library never shows what is not kept. */
  const change = (next: Map<string, T>, bin: readonly Removed<T>[]): void => {
    const kept = bin.slice(0, KEPT_REMOVED);
    stored.save({
      items: [...next.values(), ...strangers],
      removed: kept.map(({ at, document }) => ({ at, item: document })),
    });
    known.clear();
    next.forEach((document, id) => known.set(id, document));
    removed = kept;
  };
  const tryChange = <R>(value: R, ...to: Parameters<typeof change>): Result<R> => {
    try {
      change(...to);
      return ok(value);
    } catch (error) {
      return fail(notSaved(kind.one, error));
    }
  };
  return {
    list: () => [...known.values()],
    removed: () => removed,
    get: (id) => known.get(id),
    save: (raw) => {
      const parsed = kind.parse(raw);
      if (!parsed.ok) return parsed;
      return tryChange(
        parsed.value,
        new Map(known).set(kind.idOf(parsed.value), parsed.value),
        removed,
      );
    },
    remove: (id) => {
      const document = known.get(id);
      if (document === undefined) return fail(notThere(kind.one, id));
      const next = new Map(known);
      next.delete(id);
      return tryChange(null, next, [{ at: keeping.now().toISOString(), document }, ...removed]);
    },
    restore: (id) => {
      const found = removed.find(({ document }) => kind.idOf(document) === id);
      if (!found) return fail(notThere(`removed ${kind.one}`, id));
      const rest = removed.filter((entry) => entry !== found);
      return tryChange(found.document, new Map(known).set(id, found.document), rest);
    },
    problems: [...stored.problems, ...problems],
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

const notThere = (one: string, id: string): Problem => ({
  code: 'not-there',
  message: `There is no ${one} ‘${id}’.`,
  cure: 'Choose one from the list.',
});
