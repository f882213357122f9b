// A log in memory: what is asked where none can be opened, and the log of tests.
import { DatabaseSync } from 'node:sqlite';
import { migrate } from './log-schema.ts';
import { type LogReader, readLog } from './read-log.ts';
import { type WriteEntries, writeLog } from './write-log.ts';

/** A log that lives as long as the program, while the disk cannot take one. */
export function memoryLog(): { readonly write: WriteEntries; readonly read: LogReader } {
  const database = new DatabaseSync(':memory:');
  migrate(database);
  return { write: writeLog(database), read: readLog(database) };
}
