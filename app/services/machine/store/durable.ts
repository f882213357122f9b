// File operations that survive a crash: whole writes, synced to disk, then renamed into place.
import fs from 'node:fs';
import path from 'node:path';

/** Makes a rename or a new file in the directory durable. Windows has no such call and needs none. */
export function syncDirectory(directory: string): void {
  if (process.platform === 'win32') return;
  const handle = fs.openSync(directory, 'r');
  try {
    fs.fsyncSync(handle);
  } finally {
    fs.closeSync(handle);
  }
}

/** Copies a file so that `to` is either what it was before or the whole copy. */
export function copyDurably(from: string, to: string): void {
  fs.mkdirSync(path.dirname(to), { recursive: true });
  const temporary = `${to}.${process.pid}.part`;
  try {
    fs.copyFileSync(from, temporary);
    syncFile(temporary);
    fs.renameSync(temporary, to);
  } finally {
    fs.rmSync(temporary, { force: true });
  }
  syncDirectory(path.dirname(to));
}

function syncFile(file: string): void {
  const handle = fs.openSync(file, 'r+');
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

export function readText(file: string): FileText {
  try {
    return { kind: 'text', text: fs.readFileSync(file, 'utf8') };
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return { kind: 'missing' };
    return { kind: 'unreadable', reason: inWords(error) };
  }
}

export const errorCode = (error: unknown): string =>
  error instanceof Error && 'code' in error ? String(error.code) : '';

/** The system's usual refusals in plain words; anything else as the system says it. */
export function inWords(error: unknown): string {
  switch (errorCode(error)) {
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
    case 'EIO':
      return 'the disk reports a fault';
    default:
      return error instanceof Error ? error.message : String(error);
  }
}
