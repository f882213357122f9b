// A damaged log is set aside as it is and made anew of every whole fact in it and in its fullest good copy.
import fs from 'node:fs';
import path from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import type { Problem } from '../../../core/base/result.ts';
import { inWords } from '../store/durable.ts';
import { backupsIn } from './log-backups.ts';
import { type Copied, copyFacts } from './copy-facts.ts';
import { fullFlaw } from './check-log.ts';
import { filesOf, openLog } from './open-log.ts';
import { writeLog } from './write-log.ts';
import { makeFolder } from '../store/make-folder.ts';

export interface LogPlaces {
  readonly file: string;
  /** Folder of its copies. */
  readonly backups: string;
  /** Folder for what could not be used. */
  readonly setAside: string;
}

/** @param stamp Tells what is set aside now from what was before. @throws Error where nothing can be written. */
export function mendLog(places: LogPlaces, why: string, stamp: string): Problem {
  const aside = path.join(places.setAside, `log.${stamp}.sqlite`);
  const made = `${places.file}.mended`;
  try {
    remove(made);
    makeFolder(places.setAside);
    copyAll(places.file, aside);
    const { own, copied, facts } = gather(aside, places.backups, made);
    fs.renameSync(made, wholeFile(places.file));
    finishMending(places.file);
    return mended({ why, aside, facts, own, copied });
  } catch (error) {
    // On a full disk nothing is left of the attempt; the log is as it was.
    if (fs.existsSync(places.file)) remove(made, aside);
    throw error;
  }
}

const wholeFile = (file: string): string => `${file}.whole`;

/** Puts a log that was made anew in its place, also where the program was killed before it did. */
export function finishMending(file: string): void {
  if (!fs.existsSync(wholeFile(file))) return;
  // What waited beside the damaged one is in the new one, and would spoil it.
  remove(file);
  fs.renameSync(wholeFile(file), file);
}

const remove = (...databases: readonly string[]): void =>
  databases.flatMap(filesOf).forEach((file) => fs.rmSync(file, { force: true }));

/** Puts every whole fact of these into a new log. */
function gather(aside: string, backups: string, made: string) {
  const database = openLog(made);
  try {
    const write = writeLog(database);
    const own = copyFrom(aside, write);
    const copy = backupsIn(backups).find(({ file }) => isWhole(file));
    if (copy) copyFrom(copy.file, write);
    const { n: facts } = database
      .prepare('select (select count(*) from passes) + (select count(*) from amendments) as n')
      .get() as { n: number };
    database.exec('pragma wal_checkpoint(truncate)');
    return { own, copied: copy?.day, facts };
  } finally {
    database.close();
  }
}

/** With the log of latest writes, which belongs to it; SQLite makes the third file anew. */
function copyAll(from: string, to: string): void {
  if (!fs.existsSync(from)) return;
  fs.copyFileSync(from, to);
  if (fs.existsSync(`${from}-wal`)) fs.copyFileSync(`${from}-wal`, `${to}-wal`);
}

function copyFrom(file: string, write: ReturnType<typeof writeLog>): Copied | undefined {
  let database: DatabaseSync | undefined;
  if (!fs.existsSync(file)) return undefined;
  try {
    database = new DatabaseSync(file);
    return copyFacts(database, write);
  } catch {
    return undefined;
  } finally {
    database?.close();
  }
}

function isWhole(file: string): boolean {
  try {
    const database = new DatabaseSync(file, { readOnly: true });
    try {
      return fullFlaw(database) === undefined;
    } finally {
      database.close();
    }
  } catch {
    return false;
  }
}

interface Mended extends ReturnType<typeof gather> {
  readonly why: string;
  /** Where the damaged file was put. */
  readonly aside: string;
}

function mended({ why, aside, facts, own, copied }: Mended): Problem {
  const lost = own === undefined || own.lost > 0;
  const from = copied === undefined ? '' : ` and of the copy of ${copied}`;
  return {
    code: 'log-mended',
    message: `The file of your log was damaged: ${why}. It was kept as ${aside}, and the log was made anew of what is whole in it${from}: ${facts} entries.${
      lost ? ' Some entries could not be read.' : ''
    }`,
    cure: lost
      ? 'Look into the History: if passes are missing, keep that file and restore an archive under Sound & care.'
      : 'Nothing more is needed; keep the file if you want somebody to look into it.',
  };
}

/** Where neither the log nor a copy could be opened. @param error why */
export const unmendable = (file: string, error: unknown): Problem => ({
  code: 'log-unreadable',
  message: `The log (${file}) could not be opened: ${inWords(error)}. It was left as it is.`,
  cure: 'Mend or move the file, then start Rungwise again; until then your passes are kept in memory.',
});
