// One JSON document that is never lost: checked before electron-store (or its base `conf`) opens it, set
// aside and restored from its newest good backup when it cannot be understood, left alone when it is newer,
// and told when it is not what was written.
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import type { Problem } from '../../../core/base/result.ts';
import type { SafeKeeping } from './backups.ts';
import { backupsOf, refreshBackup, setAside } from './backups.ts';
import { assertHere } from './data-folder.ts';
import { assertRoom, copyDurably, inWords, readText, syncDirectory } from './durable.ts';
import { makeFolder } from './make-folder.ts';
import { type Content, sealed, unsealed } from './seal.ts';

/** electron-store in Electron, `conf` under plain Node: the same class underneath, the same files. */
export type StoreEngine = new (options: EngineOptions) => { store: Record<string, unknown> };

interface EngineOptions {
  readonly cwd: string;
  /** electron-store takes `name`, conf takes `configName`. */
  readonly name: string;
  readonly configName: string;
  readonly projectVersion: string;
  readonly clearInvalidConfig: false;
  readonly accessPropertiesByDotNotation: false;
  readonly serialize: (value: unknown) => string;
}

type Raw = Record<string, unknown>;

/** What a kind of file is. `T` is what stands in it beside `schemaVersion`. */
export interface FileKind<T> {
  /** For messages: "the charts". */
  readonly what: string;
  /** The version this program writes, 1 or more. */
  readonly schemaVersion: number;
  /** `migrations[k]` takes version k + 1 to k + 2; each is pure. */
  readonly migrations: readonly ((raw: Raw) => Raw)[];
  /** What is wrong with the content of the newest version; undefined when nothing is. */
  readonly flaw: (raw: Raw) => string | undefined;
  readonly empty: () => T;
}

export interface StoreFile<T> {
  readonly value: T;
  readonly problems: readonly Problem[];
  /** False when the file is newer than this program or cannot be read: it is then never written. */
  readonly writable: boolean;
  /** @throws Error when the file cannot be written; the file is then as it was. */
  readonly save: (value: T) => void;
  /** The newest copy that holds something else than this; undefined where there is none. */
  readonly earlier: (than: T) => Copy<T> | undefined;
  /** Changes what stands in the copies; one that cannot be read is left as it is. @throws Error */
  readonly changeCopies: (change: (value: T) => T) => void;
  /** Copies the file as it stands to `set-aside/`. @throws Error */
  readonly setAside: () => void;
}

/** What a store offers of its copies. */
export interface WithEarlier {
  /** Day of the newest copy that differs from what is here; undefined where there is none. */
  readonly earlierDay: () => string | undefined;
  /** That copy takes the place of what is here, which is set aside. @throws Error where it cannot be written. */
  readonly bringEarlier: () => void;
}

interface Copy<T> {
  readonly file: string;
  /** When it was made, as YYYY-MM-DD. */
  readonly day: string;
  readonly value: T;
}

/** Opens `file` (ending in .json). Never throws for what the file holds. */
export function openStoreFile<T extends object>(
  file: string,
  kind: FileKind<T>,
  engine: StoreEngine,
  keeping: SafeKeeping,
): StoreFile<T> {
  const loaded = readStoreFile(file, kind, keeping);
  return {
    ...loaded,
    save: (value) => {
      if (!loaded.writable)
        throw new Error(`${file} is left as it is: ${loaded.problems[0]?.message}`);
      if (keeping.folder) assertHere(keeping.folder);
      write(file, { ...value, schemaVersion: kind.schemaVersion }, engine);
    },
    earlier: (than) =>
      newestCopy(file, kind, keeping, (value) => JSON.stringify(value) !== JSON.stringify(than)),
    changeCopies: (change) => changeCopies(file, kind, keeping, change),
    setAside: () => {
      if (fs.existsSync(file)) setAside(keeping, file);
    },
  };
}

type Loaded<T> = Pick<StoreFile<T>, 'value' | 'problems' | 'writable'>;

/** What stands in the file, set aside and restored as above. */
export function readStoreFile<T>(file: string, kind: FileKind<T>, keeping: SafeKeeping): Loaded<T> {
  const found = readText(file);
  switch (found.kind) {
    case 'missing':
      return bringBack(file, kind, keeping);
    case 'unreadable':
      return {
        value: newestCopy(file, kind, keeping)?.value ?? kind.empty(),
        problems: [unreadable(file, kind, found.reason)],
        writable: false,
      };
    case 'text':
      return loadText(file, found.text, kind, keeping);
  }
}

function loadText<T>(
  file: string,
  text: string,
  kind: FileKind<T>,
  keeping: SafeKeeping,
): Loaded<T> {
  const read = readDocument(text, kind);
  switch (read.kind) {
    case 'good':
      return { value: read.value, problems: keepBackup(file, kind, keeping), writable: true };
    case 'changed':
      // Its copies stay as they are: the newest one may be what it was.
      return {
        value: read.value,
        problems: [changed(file, kind, newestCopy(file, kind, keeping)?.day)],
        writable: true,
      };
    case 'newer':
      return {
        value: kind.empty(),
        problems: [newer(file, kind, read.version)],
        writable: false,
      };
    case 'bad':
      return restore(file, kind, keeping, read.why);
  }
}

type Document<T> =
  | { readonly kind: 'good'; readonly value: T }
  /** It can be read, but it is not what was written. */
  | { readonly kind: 'changed'; readonly value: T }
  | { readonly kind: 'newer'; readonly version: number }
  | { readonly kind: 'bad'; readonly why: string };

/** Reads and migrates a document's text; never throws. */
export function readDocument<T>(text: string, kind: FileKind<T>): Document<T> {
  if (text.trim() === '') return { kind: 'bad', why: 'it is empty' };
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch {
    return { kind: 'bad', why: 'it is not whole JSON' };
  }
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) {
    return { kind: 'bad', why: 'it is not a JSON object' };
  }
  const { content, whole } = unsealed(raw as Raw);
  const read = readVersion(content, kind);
  return read.kind === 'good' && whole === false ? { ...read, kind: 'changed' } : read;
}

function readVersion<T>(raw: Content, kind: FileKind<T>): Document<T> {
  const { schemaVersion: version, ...content } = raw;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return { kind: 'bad', why: 'it does not say its version' };
  }
  if (version > kind.schemaVersion) return { kind: 'newer', version };
  try {
    const steps = kind.migrations.slice(version - 1, kind.schemaVersion - 1);
    const current = steps.reduce((value, migrate) => migrate(value), content as Raw);
    const flaw = kind.flaw(current);
    return flaw ? { kind: 'bad', why: flaw } : { kind: 'good', value: current as T };
  } catch (error) {
    return { kind: 'bad', why: inWords(error) };
  }
}

function changeCopies<T extends object>(
  file: string,
  kind: FileKind<T>,
  keeping: SafeKeeping,
  change: (value: T) => T,
): void {
  for (const copy of backupsOf(keeping, file)) {
    const found = readText(copy);
    const read = found.kind === 'text' ? readDocument(found.text, kind) : undefined;
    if (read?.kind !== 'good') continue;
    const changed = change(read.value);
    if (JSON.stringify(changed) === JSON.stringify(read.value)) continue;
    const text = sealed({ ...changed, schemaVersion: kind.schemaVersion });
    writeFileSync(copy, text, { mode: 0o600, fsync: true });
  }
}

/** The newest whole copy of which this holds. */
function newestCopy<T>(
  file: string,
  kind: FileKind<T>,
  keeping: SafeKeeping,
  wanted: (value: T) => boolean = () => true,
): Copy<T> | undefined {
  for (const copy of backupsOf(keeping, file)) {
    const found = readText(copy);
    if (found.kind !== 'text') continue;
    const read = readDocument(found.text, kind);
    if (read.kind === 'good' && wanted(read.value))
      return { file: copy, day: path.basename(copy, '.json'), value: read.value };
  }
  return undefined;
}

/** A file that is not there is new, unless it has copies: then it was lost. */
function bringBack<T>(file: string, kind: FileKind<T>, keeping: SafeKeeping): Loaded<T> {
  const copy = newestCopy(file, kind, keeping);
  if (!copy) return { value: kind.empty(), problems: [], writable: true };
  try {
    copyDurably(copy.file, file);
  } catch {
    // It is written with the next change.
  }
  return { value: copy.value, problems: [gone(file, kind, copy.day)], writable: true };
}

/** Sets the file aside, then puts the newest good backup in its place. */
function restore<T>(file: string, kind: FileKind<T>, keeping: SafeKeeping, why: string): Loaded<T> {
  const backup = newestCopy(file, kind, keeping);
  const value = backup?.value ?? kind.empty();
  try {
    const aside = setAside(keeping, file);
    if (backup) copyDurably(backup.file, file);
    else fs.rmSync(file);
    return { value, problems: [putAside(kind, why, aside, backup?.day)], writable: true };
  } catch (error) {
    const reason = `${why}, and it could not be set aside: ${inWords(error)}`;
    return { value, problems: [unreadable(file, kind, reason)], writable: false };
  }
}

function keepBackup<T>(file: string, kind: FileKind<T>, keeping: SafeKeeping): Problem[] {
  try {
    refreshBackup(keeping, file);
    return [];
  } catch (error) {
    return [
      {
        code: 'no-backup',
        message: `No backup of ${kind.what} could be made: ${inWords(error)}.`,
        cure: 'Make room on the disk or allow writing to the data folder.',
      },
    ];
  }
}

/** The engine writes atomically with fsync; a short write on a nearly full disk is refused beforehand. */
function write(file: string, content: Raw, Engine: StoreEngine): void {
  const text = sealed(content);
  const { dir, name } = path.parse(file);
  makeFolder(dir);
  assertRoom(dir, Buffer.byteLength(text));
  const engine = new Engine({
    cwd: dir,
    name,
    configName: name,
    projectVersion: '1.0.0',
    clearInvalidConfig: false,
    accessPropertiesByDotNotation: false,
    serialize: (value) => sealed(value as Content),
  });
  engine.store = content;
  syncDirectory(dir);
}

const unreadable = <T>(file: string, kind: FileKind<T>, reason: string): Problem => ({
  code: 'store-unreadable',
  message: `The file of ${kind.what} could not be read: ${reason}. It was left as it is (${file}).`,
  cure: 'Mend or move the file, then start Rungwise again; until then nothing is written to it.',
});

const changed = <T>(file: string, kind: FileKind<T>, day?: string): Problem => ({
  code: 'store-changed',
  message: `The file of ${kind.what} is not as Rungwise wrote it (${file}): it was changed by hand or by another program, or by a fault of the disk. It is in use as it stands.`,
  cure: day
    ? `If you did not change it, bring the copy of ${day} back: Sound & care, “Look into the copies”.`
    : 'If you did not change it, look through what it holds; there is no earlier copy.',
});

const gone = <T>(file: string, kind: FileKind<T>, day: string): Problem => ({
  code: 'store-gone',
  message: `The file of ${kind.what} was gone (${file}); the copy of ${day} is in use.`,
  cure: 'Nothing more is needed. What was changed after that copy has to be set again.',
});

const newer = <T>(file: string, kind: FileKind<T>, version: number): Problem => ({
  code: 'store-newer',
  message: `The file of ${kind.what} was written by a newer Rungwise (version ${version} of its form; this one knows ${kind.schemaVersion}). It was left as it is (${file}).`,
  cure: 'Update Rungwise; until then nothing is written to that file.',
});

const putAside = <T>(kind: FileKind<T>, why: string, aside: string, from?: string): Problem => ({
  code: 'store-set-aside',
  message: `The file of ${kind.what} could not be understood: ${why}. It was kept as ${aside}; ${
    from ? `the copy of ${from} is in use` : 'there was no earlier copy, so it starts empty'
  }.`,
  cure: 'Nothing more is needed; keep the file if you want somebody to look into it.',
});
