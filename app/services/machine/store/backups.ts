// Dated copies of good files, and the place where unreadable ones are set aside: nothing is ever thrown away unread.
import fs from 'node:fs';
import path from 'node:path';
import type { DataFolder } from './data-folder.ts';
import { copyDurably, namesIn } from './durable.ts';

export interface SafeKeeping {
  /** Root of the data directory; copies go to `backups/` and `set-aside/` below it. */
  readonly root: string;
  readonly now: () => Date;
  /** The folder that is held; left out where nobody holds one. Nothing is written once it is not at its place. */
  readonly folder?: DataFolder;
}

/** Days of backups kept per file. */
const KEPT_BACKUPS = 7;

const dayOf = (time: Date): string => time.toISOString().slice(0, 10);
const stampOf = (time: Date): string => time.toISOString().replace(/[-:]/g, '').slice(0, 15);

const backupFolder = (keeping: SafeKeeping, file: string): string =>
  path.join(keeping.root, 'backups', path.relative(keeping.root, file));

/** Dated copies of the file, newest first. */
export function backupsOf(keeping: SafeKeeping, file: string): string[] {
  const folder = backupFolder(keeping, file);
  return namesIn(folder)
    .filter((name) => /^\d{4}-\d\d-\d\d\.json$/.test(name))
    .sort()
    .reverse()
    .map((name) => path.join(folder, name));
}

/** Copies a file that has just been read without fault, unless the newest copy is younger than the file. */
export function refreshBackup(keeping: SafeKeeping, file: string): void {
  const kept = backupsOf(keeping, file);
  const newest = kept[0];
  if (newest && fs.statSync(newest).mtimeMs >= fs.statSync(file).mtimeMs) return;
  const target = path.join(backupFolder(keeping, file), `${dayOf(keeping.now())}.json`);
  copyDurably(file, target);
  const older = kept.filter((name) => name !== target).slice(KEPT_BACKUPS - 1);
  for (const name of older) fs.rmSync(name, { force: true });
}

/** Copies a file that could not be understood to `set-aside/` and returns where it went. */
export function setAside(keeping: SafeKeeping, file: string): string {
  const { name, ext } = path.parse(file);
  const folder = path.join(keeping.root, 'set-aside');
  const base = `${name}.${stampOf(keeping.now())}`;
  for (let attempt = 1; ; attempt++) {
    const target = path.join(folder, `${base}${attempt === 1 ? '' : `-${attempt}`}${ext}`);
    if (fs.existsSync(target)) continue;
    copyDurably(file, target);
    return target;
  }
}
