// Copies of the log made while it is open, kept for seven days and four weeks, ordered by how much they hold.
import fs from 'node:fs';
import path from 'node:path';
import { backup, DatabaseSync } from 'node:sqlite';
import { setImmediate } from 'node:timers/promises';
import type { IsoDate } from '../../../core/base/units.ts';
import { namesIn } from '../store/durable.ts';
import { makeFolder } from '../store/make-folder.ts';
import { worthKeeping } from '../store/retention.ts';
import { desksIn, forgetDesks } from './forget-desks.ts';

export interface LogBackup {
  readonly file: string;
  /** Passes and words on them. Facts are only ever added, so more of them is later, whatever a clock said. */
  readonly facts: number;
  /** Day on which it was made. */
  readonly day: IsoDate;
}

const NAME = /^(\d{10})\.(\d{4}-\d\d-\d\d)\.sqlite$/;

/** How many passes and words the log has, by the numbers of their last rows. */
export const factsIn = (database: DatabaseSync): number =>
  (
    database
      .prepare(
        'select (select coalesce(max(row), 0) from passes) + (select coalesce(max(row), 0) from amendments) as n',
      )
      .get() as { n: number }
  ).n;

/** Those in the folder, fullest first. */
export function backupsIn(folder: string): LogBackup[] {
  return namesIn(folder)
    .flatMap((name): LogBackup[] => {
      const match = NAME.exec(name);
      return match
        ? [{ file: path.join(folder, name), facts: Number(match[1]), day: match[2]! }]
        : [];
    })
    .sort((a, b) => b.facts - a.facts || b.day.localeCompare(a.day));
}

/** Copies the open log unless today's copy holds as much, then lets old copies go. */
export async function backUp(
  database: DatabaseSync,
  folder: string,
  day: IsoDate,
): Promise<LogBackup | undefined> {
  const facts = factsIn(database);
  const known = backupsIn(folder);
  if (facts === 0 || known.some((one) => one.facts === facts)) return undefined;
  makeFolder(folder);
  const file = nameOf(folder, facts, day);
  const part = `${file}.part`;
  await copyLog(database, part);
  fs.renameSync(part, file);
  const all = backupsIn(folder);
  const kept = worthKeeping(all, (one) => one.day);
  for (const one of all) if (!kept.has(one)) fs.rmSync(one.file);
  return { file, facts, day };
}

/** Takes these desks out of the copies, too, one after the other; a damaged one is left as it is. */
export async function forgetInBackups(
  folder: string,
  isGone: (desk: string) => boolean,
): Promise<void> {
  for (const copy of backupsIn(folder)) {
    forgetInBackup(copy, folder, isGone);
    await setImmediate();
  }
}

function forgetInBackup(
  { file, day }: LogBackup,
  folder: string,
  isGone: (desk: string) => boolean,
) {
  let copy: DatabaseSync | undefined;
  try {
    copy = new DatabaseSync(file);
    const desks = desksIn(copy, isGone);
    if (desks.length === 0) return;
    forgetDesks(copy, desks);
    const facts = factsIn(copy);
    copy.close();
    // The copies stay in the order of what they hold.
    if (facts === 0) fs.rmSync(file);
    else fs.renameSync(file, nameOf(folder, facts, day));
  } catch {
    // It is mended from, or let go, as before.
  } finally {
    if (copy?.isOpen) copy.close();
  }
}

const nameOf = (folder: string, facts: number, day: IsoDate): string =>
  path.join(folder, `${String(facts).padStart(10, '0')}.${day}.sqlite`);

/** Copies the open log into one file; writing goes on meanwhile. */
export async function copyLog(database: DatabaseSync, to: string): Promise<void> {
  fs.rmSync(to, { force: true });
  fs.writeFileSync(to, '', { mode: 0o600 });
  await backup(database, to, { rate: 500 });
  asOneFile(to);
}

/** A copy is one file without a log of its own beside it. */
function asOneFile(file: string): void {
  const copy = new DatabaseSync(file);
  copy.exec('pragma journal_mode = delete');
  copy.close();
}
