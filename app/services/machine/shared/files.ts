// What the shared folder asks of a file system, and the disk's answers.
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import { attempt, syncDirectory } from '../store/durable.ts';

export interface Entry {
  readonly name: string;
  readonly isFolder: boolean;
}

/** Whole paths; what cannot be done is thrown. */
export interface Files {
  readonly isFolder: (path: string) => boolean;
  /** Empty where there is no such folder. */
  readonly inside: (folder: string) => readonly Entry[];
  /** Its length and when it was changed, in milliseconds: both tell that it is another one. */
  readonly stamp: (file: string) => { readonly bytes: number; readonly time: number };
  readonly read: (file: string) => string;
  readonly makeFolder: (folder: string) => void;
  /** Whole or not at all, and on disk when it returns. */
  readonly write: (file: string, text: string) => void;
  /** As {@link write}, closed to other users. */
  readonly writeClosed: (file: string, text: string) => void;
  readonly remove: (file: string) => void;
  /** With all that is in it. */
  readonly removeFolder: (folder: string) => void;
  /** Leaves it where something is in it. */
  readonly removeIfEmpty: (folder: string) => void;
}

/** False for a link to nothing, too, and behind a folder that is closed. */
const isFolder = (folder: string): boolean =>
  attempt(() => fs.statSync(folder).isDirectory()) === true;

export const onDisk: Files = {
  isFolder,
  inside: (folder) =>
    isFolder(folder)
      ? fs
          .readdirSync(folder, { withFileTypes: true })
          .map((entry) => ({ name: entry.name, isFolder: entry.isDirectory() }))
      : [],
  stamp: (file) => {
    const { size, mtimeMs } = fs.statSync(file);
    return { bytes: size, time: mtimeMs };
  },
  read: (file) => fs.readFileSync(file, 'utf8'),
  makeFolder: (folder) => void fs.mkdirSync(folder, { recursive: true }),
  write: writeWhole,
  writeClosed: (file, text) => writeFileSync(file, text, { mode: 0o600 }),
  remove: (file) => fs.rmSync(file, { force: true }),
  removeFolder: (folder) => fs.rmSync(folder, { recursive: true, force: true }),
  removeIfEmpty: (folder) => {
    if (isFolder(folder) && fs.readdirSync(folder).length === 0) fs.rmdirSync(folder);
  },
};

/** Stands behind the name of a file that is being written. */
export const PART = '.part';

/** What is there is replaced by its own writer only; where there is no room for it, nothing of it stays. */
function writeWhole(file: string, text: string): void {
  const temporary = `${file}${PART}`;
  try {
    writeAndRename(temporary, file, text);
  } catch (error) {
    fs.rmSync(temporary, { force: true });
    throw error;
  }
}

function writeAndRename(temporary: string, file: string, text: string): void {
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
