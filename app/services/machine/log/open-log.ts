// Opens the log's database so that what it acknowledges is on disk.
import fs from 'node:fs';
import { DatabaseSync } from 'node:sqlite';
import { migrate } from './log-schema.ts';

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

/** The files a database consists of. */
export const filesOf = (file: string): readonly string[] => [file, `${file}-wal`, `${file}-shm`];
