// File operations that survive a crash: whole writes, synced to disk, then renamed into place.
import fs from 'node:fs';
import path from 'node:path';
import { makeFolder } from './make-folder.ts';

/** Makes a rename or a new file in the directory durable. Windows has no such call and needs none. */
export function syncDirectory(directory: string): void {
  if (process.platform === 'win32') return;
  sync(directory, 'r');
}

/** Copies a file so that `to` is either what it was before or the whole copy. */
export function copyDurably(from: string, to: string): void {
  makeFolder(path.dirname(to));
  const temporary = `${to}.${process.pid}.part`;
  try {
    fs.copyFileSync(from, temporary);
    sync(temporary, 'r+');
    fs.renameSync(temporary, to);
  } finally {
    fs.rmSync(temporary, { force: true });
  }
  syncDirectory(path.dirname(to));
}

function sync(file: string, flags: 'r' | 'r+'): void {
  const handle = fs.openSync(file, flags);
  try {
    fs.fsyncSync(handle);
  } finally {
    fs.closeSync(handle);
  }
}

/** @throws Error with code ENOSPC when the disk has no room for a second copy of this many bytes. */
export function assertRoom(directory: string, bytes: number): void {
  const { bavail, bsize } = fs.statfsSync(directory);
  if (bavail * bsize > bytes) return;
  throw Object.assign(new Error(`no room for ${bytes} bytes in ${directory}`), { code: 'ENOSPC' });
}

/** A file's text, or why there is none. */
export type FileText =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'missing' }
  | { readonly kind: 'unreadable'; readonly reason: string };

/** A file as UTF-8 text; says why where there is none. Never throws. */
export function readText(file: string): FileText {
  try {
    return { kind: 'text', text: fs.readFileSync(file, 'utf8') };
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return { kind: 'missing' };
    return { kind: 'unreadable', reason: inWords(error) };
  }
}

/** @throws Error for what is no file: a folder, or something that would never end when it is read. */
export function assertFile(file: string): void {
  const stat = fs.statSync(file);
  if (stat.isFile()) return;
  throw new Error(stat.isDirectory() ? 'a folder stands there' : 'it is no file of text');
}

/** For what may fail without harm. */
export function attempt<T>(work: () => T): T | undefined {
  try {
    return work();
  } catch {
    return undefined;
  }
}

/** What stands in a folder of ours that nothing hangs on: none where it is not there, is no folder or is closed. */
export const namesIn = (folder: string): readonly string[] =>
  attempt(() => fs.readdirSync(folder)) ?? [];

/** As `ENOENT`; '' where the error has none. */
export const errorCode = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : '';

/** SQLite's primary result codes (sqlite.org/rescode.html) that mean something to a user. */
const SQLITE_CODES = new Map([
  [1, 'SQLITE_ERROR'],
  [5, 'SQLITE_BUSY'],
  [8, 'SQLITE_READONLY'],
  [10, 'SQLITE_IOERR'],
  [11, 'SQLITE_CORRUPT'],
  [13, 'SQLITE_FULL'],
  [14, 'SQLITE_CANTOPEN'],
  [26, 'SQLITE_NOTADB'],
]);

/** The name of SQLite's code, or '' for any other error. An extended code keeps its primary one in its last byte. */
export const sqliteCode = (error: unknown): string =>
  error instanceof Error && 'errcode' in error
    ? (SQLITE_CODES.get(Number(error.errcode) & 0xff) ?? '')
    : '';

/** The system's usual refusals in plain words; anything else as the system says it. */
export function inWords(error: unknown): string {
  switch (sqliteCode(error) || errorCode(error)) {
    case 'SQLITE_BUSY':
      return 'another program holds it';
    case 'SQLITE_READONLY':
    case 'SQLITE_CANTOPEN':
      return 'this program may not write or read there';
    case 'SQLITE_CORRUPT':
    case 'SQLITE_NOTADB':
      return 'what stands in the file is not what was written';
    case 'SQLITE_IOERR':
      return 'the disk reports a fault';
    case 'SQLITE_FULL':
    case 'ENOSPC':
    case 'EDQUOT':
      return 'the disk is full';
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
      return 'this program may not write or read there';
    case 'ENOTDIR':
    case 'ENOENT':
      return 'the folder is not there';
    case 'ELOOP':
      return 'it is a link that leads nowhere';
    case 'EIO':
      return 'the disk reports a fault';
    default:
      return error instanceof Error ? error.message : String(error);
  }
}
