// The data folder and its one owner: a lock of the operating system that ends with the process that holds it.
import fs from 'node:fs';
import path from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { sqliteCode } from './durable.ts';
import { makeFolder } from './make-folder.ts';

/** Somebody else holds the data folder; the message is for the user. */
export class FolderInUse extends Error {
  constructor(directory: string) {
    super(
      `Rungwise is already running on ${directory}. Use that window, or start with another folder: --data DIR.`,
    );
    this.name = 'FolderInUse';
  }
}

export interface DataFolder {
  readonly directory: string;
  /** Could it be locked? Where not, nothing can be written there either. */
  readonly writable: boolean;
  /** Is it still the folder that was taken, at its place? It may be moved, replaced or unmounted meanwhile. */
  readonly isHere: () => boolean;
  /** Takes what stands at its place now. @throws FolderInUse, or Error where there is nothing. */
  readonly takeAgain: () => void;
  readonly release: () => void;
}

/** @throws Error with code ENOENT where the folder is not at its place: nothing is written into another one. */
export function assertHere(folder: DataFolder): void {
  if (folder.isHere()) return;
  throw Object.assign(new Error('the data folder is not there'), { code: 'ENOENT' });
}

interface Held {
  readonly lock: DatabaseSync;
  readonly marks: string;
}

/**
 * Makes the folder where it is not there, and takes it. SQLite locks a file by the operating system's own
 * means, on every system: nothing is left over by a crash, a suspend or a change of the clock.
 * @throws FolderInUse when a live process holds it.
 */
export function takeFolder(directory: string): DataFolder {
  const file = path.join(directory, 'lock.sqlite');
  let held: Held | undefined;
  try {
    makeFolder(directory);
    held = hold(directory, file);
    closeToOthers(directory);
  } catch (error) {
    if (error instanceof FolderInUse) throw error;
  }
  return {
    directory,
    get writable() {
      return held !== undefined;
    },
    isHere: () => held !== undefined && marksOf(directory, file) === held.marks,
    takeAgain: () => {
      if (!fs.existsSync(directory)) throw Object.assign(new Error('gone'), { code: 'ENOENT' });
      held?.lock.close();
      held = undefined;
      held = hold(directory, file);
    },
    release: () => {
      held?.lock.close();
      held = undefined;
    },
  };
}

function hold(directory: string, file: string): Held {
  if (!fs.existsSync(file)) fs.writeFileSync(file, '', { mode: 0o600 });
  const lock = new DatabaseSync(file);
  try {
    // Nothing is ever written: the transaction is held for its lock, and its journal needs no file.
    lock.exec('pragma journal_mode = memory; begin exclusive');
    return { lock, marks: marksOf(directory, file)! };
  } catch (error) {
    lock.close();
    if (sqliteCode(error) === 'SQLITE_BUSY') throw new FolderInUse(directory);
    throw error;
  }
}

/** What tells this folder from another at the same place; undefined where there is none. */
function marksOf(directory: string, file: string): string | undefined {
  const marks = [directory, file].map((one) => {
    const stat = fs.statSync(one, { throwIfNoEntry: false, bigint: true });
    return stat && `${stat.dev}:${stat.ino}`;
  });
  return marks.includes(undefined) ? undefined : marks.join(' ');
}

/** On a shared machine others read nothing here. Windows has no such modes; there the user's profile is closed. */
function closeToOthers(directory: string): void {
  if (process.platform === 'win32') return;
  fs.chmodSync(directory, 0o700);
}
