// Opens the log's database so that what it acknowledges is on disk.
import fs from 'node:fs';
import { DatabaseSync } from 'node:sqlite';
import { pathToFileURL } from 'node:url';
import { formOf, migrate, READ_AS_PRESENT } from './log-schema.ts';

/**
 * Every commit waits for the disk (`synchronous=FULL`); cells that are overwritten leave nothing behind.
 * @throws Error where it cannot be opened, is no database, or is newer ({@link NewerLog}).
 */
export function openLog(file: string): DatabaseSync {
  if (!fs.existsSync(file)) fs.writeFileSync(file, '', { mode: 0o600 });
  const database = new DatabaseSync(file, { timeout: 2000 });
  try {
    database.exec('pragma journal_mode = wal; pragma synchronous = full; pragma foreign_keys = on');
    migrate(database);
    return database;
  } catch (error) {
    database.close();
    throw error;
  }
}

/**
 * The log where it cannot be written: a full disk, a folder that is read only. Alone at it, SQLite needs no file
 * beside it; where it may not even lock it, the file is read as it stands. Undefined where nothing can be read.
 */
export function openToRead(file: string): DatabaseSync | undefined {
  return (
    tryToRead(
      () => new DatabaseSync(file),
      'pragma locking_mode = exclusive',
      'pragma query_only = on',
    ) ??
    tryToRead(
      () => new DatabaseSync(new URL('?immutable=1', pathToFileURL(file)), { readOnly: true }),
    )
  );
}

function tryToRead(open: () => DatabaseSync, first = '', last = ''): DatabaseSync | undefined {
  let database: DatabaseSync | undefined;
  try {
    database = open();
    database.exec(first);
    const more = READ_AS_PRESENT.get(formOf(database));
    if (more !== undefined && database.prepare('select 1 from about').get()) {
      database.exec(`${more}; ${last}`);
      return database;
    }
  } catch {
    // There is nothing to read then.
  }
  database?.close();
  return undefined;
}

/** What tells the log in this file from others; undefined where there is none. Makes and changes nothing. */
export function identityIn(file: string): string | undefined {
  try {
    const database = new DatabaseSync(file, { readOnly: true });
    try {
      return about(database, 'identity');
    } finally {
      database.close();
    }
  } catch {
    return undefined;
  }
}

/** A named value that the log keeps about itself; undefined where it has none. */
export const about = (database: DatabaseSync, name: string): string | undefined =>
  (
    database.prepare('select value from about where name = ?').get(name) as
      { value: string } | undefined
  )?.value;

/** The files a database consists of. */
export const filesOf = (file: string): readonly string[] => [file, `${file}-wal`, `${file}-shm`];
