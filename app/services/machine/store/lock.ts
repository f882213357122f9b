// One program at a time on a data directory: a lock file that names its holder and goes stale when the holder dies.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { errorCode } from './durable.ts';

/** A lock without a readable holder may be one that is being written at this moment. */
const WRITING_MS = 2_000;

interface Holder {
  readonly pid: number;
  readonly host: string;
  /** Tells two locks of one process number apart. */
  readonly token: string;
}

export interface Lock {
  readonly release: () => void;
}

/** Somebody else holds the data directory; the message is for the user. */
export class DirectoryInUse extends Error {
  constructor(directory: string, holder: Holder | undefined) {
    const who = holder ? ` (process ${holder.pid} on ${holder.host})` : '';
    super(
      `Rungwise is already running on ${directory}${who}. ` +
        `Use that window, or start with another folder: --data DIR.`,
    );
    this.name = 'DirectoryInUse';
  }
}

/** The holder touches its lock this often … */
const BEAT_MS = 15_000;
/** … and a lock untouched for this long belongs to nobody: its process number was given to another program. */
const STALE_MS = 8 * BEAT_MS;

/**
 * Takes the directory, or undefined where the directory cannot be written (no lock can stand there).
 * @throws DirectoryInUse when a live process holds it.
 */
export function lockDirectory(directory: string, token: string): Lock | undefined {
  const file = path.join(directory, 'lock');
  const mine: Holder = { pid: process.pid, host: os.hostname(), token };
  for (let attempt = 0; attempt < 3; attempt++) {
    try {
      fs.mkdirSync(directory, { recursive: true });
      fs.writeFileSync(file, JSON.stringify(mine), { flag: 'wx' });
      return heldLock(file, mine);
    } catch (error) {
      if (errorCode(error) !== 'EEXIST') return undefined;
    }
    const holder = holderOf(file);
    if (isAlive(file, holder)) throw new DirectoryInUse(directory, holder);
    clearStale(file, holder);
  }
  throw new DirectoryInUse(directory, holderOf(file));
}

function heldLock(file: string, mine: Holder): Lock {
  const beat = setInterval(() => touch(file), BEAT_MS);
  beat.unref();
  return {
    release: () => {
      clearInterval(beat);
      if (holderOf(file)?.token === mine.token) fs.rmSync(file, { force: true });
    },
  };
}

function touch(file: string): void {
  try {
    const now = new Date();
    fs.utimesSync(file, now, now);
  } catch (error) {
    // A disk that has gone read-only shows in every write; the lock has nothing to add.
    if (errorCode(error) === '') throw error;
  }
}

function holderOf(file: string): Holder | undefined {
  try {
    const holder = JSON.parse(fs.readFileSync(file, 'utf8')) as Holder;
    return Number.isInteger(holder.pid) ? holder : undefined;
  } catch {
    return undefined;
  }
}

function isAlive(file: string, holder: Holder | undefined): boolean {
  const touched = fs.statSync(file, { throwIfNoEntry: false })?.mtimeMs ?? 0;
  const age = Date.now() - touched;
  if (!holder) return age < WRITING_MS;
  if (age > STALE_MS) return false;
  if (holder.host !== os.hostname()) return true;
  try {
    process.kill(holder.pid, 0);
    return true;
  } catch (error) {
    return errorCode(error) === 'EPERM';
  }
}

/** Moves the stale lock away first, so that of two processes that find it only one goes on. */
function clearStale(file: string, stale: Holder | undefined): void {
  const moved = `${file}.${process.pid}.stale`;
  try {
    fs.renameSync(file, moved);
    const taken = holderOf(moved);
    if (taken && taken.token !== stale?.token) fs.linkSync(moved, file);
    fs.rmSync(moved, { force: true });
  } catch (error) {
    if (errorCode(error) === '') throw error;
  }
}
