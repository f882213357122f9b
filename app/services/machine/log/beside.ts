// Which facts of one log another one lacks, by desk and day.
import type { DatabaseSync } from 'node:sqlite';
import type { MissingDay } from '../../contract/archives.ts';
import { fullFlaw } from './check-log.ts';
import { NewerLog } from './log-schema.ts';
import { openLog } from './open-log.ts';

export interface LogBeside {
  /** Passes in it. */
  readonly passes: number;
  /** Words on passes that the other one lacks. */
  readonly words: number;
  /** Passes that the other one lacks, latest day first. */
  readonly days: readonly MissingDay[];
}

const MISSING_DAYS = `select desks.name as desk, there.day as day, count(*) as passes
  from passes there join desks on desks.ref = there.desk
  left join here.desks own on own.name = desks.name
  where own.ref is null or not exists (
    select 1 from here.passes known where known.desk = own.ref and known.id = there.id)
  group by 1, 2 order by 2 desc, 1`;

const MISSING_WORDS = `select count(*) as n
  from amendments there join desks on desks.ref = there.desk
  left join here.desks own on own.name = desks.name
  where own.ref is null or not exists (
    select 1 from here.amendments known
    where known.desk = own.ref and known.pass = there.pass and known.record = there.record)`;

/** @param there A log that is open. @param here File of the log that is compared. @throws Error where one cannot be read. */
export function besideLog(there: DatabaseSync, here: string): LogBeside {
  there.prepare('attach ? as here').run(here);
  try {
    const { n: passes } = there.prepare('select count(*) as n from main.passes').get() as {
      n: number;
    };
    const { n: words } = there.prepare(MISSING_WORDS).get() as { n: number };
    const days = there.prepare(MISSING_DAYS).all() as unknown as MissingDay[];
    return { passes, words, days: days.map((day) => ({ ...day })) };
  } finally {
    there.exec('detach here');
  }
}

/** Opens a log that came from elsewhere, brought to the present form. */
export function openForeignLog(
  file: string,
): { readonly database: DatabaseSync; readonly flaw?: string } | { readonly why: string } {
  try {
    const database = openLog(file);
    const flaw = fullFlaw(database);
    return { database, ...(flaw === undefined ? {} : { flaw }) };
  } catch (error) {
    if (error instanceof NewerLog) return { why: `a newer Rungwise made it: ${error.message}` };
    return { why: error instanceof Error ? error.message : String(error) };
  }
}
