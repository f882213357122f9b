// The tables of the log and how an earlier form of them becomes the present one: numbered steps, counted in `user_version`.
import type { DatabaseSync } from 'node:sqlite';

/**
 * What was recorded stands in `record` as text, with its CRC-32 in `sum`; the other columns are made of it, to be
 * found and counted by. `tallies` counts settled passes by unit, day, verdict and judge.
 */
const FIRST_FORM = `
  create table about (name text primary key, value text not null) without rowid;
  create table desks (ref integer primary key, name text not null unique);
  create table units (
    ref integer primary key, desk integer not null references desks, chart text not null, unit text not null,
    unique (desk, chart, unit));
  create table bars (
    ref integer primary key, fingerprint text not null unique, record text not null, sum integer not null);
  create table sittings (
    ref integer primary key, record text not null unique, sum integer not null);
  create table passes (
    row integer primary key, desk integer not null references desks, id text not null,
    unit integer not null references units, bars integer not null references bars,
    sitting integer not null references sittings,
    instant integer not null, day text not null,
    verdict text not null, source text not null, quarters real not null, seconds real not null,
    record text not null, sum integer not null,
    unique (desk, id));
  create index passes_of_unit on passes (unit, day, instant);
  create index passes_of_bars on passes (bars, instant);
  create index passes_in_time on passes (desk, instant);
  create table amendments (
    row integer primary key, desk integer not null references desks, pass text not null,
    record text not null, sum integer not null,
    unique (desk, pass, record));
  create table tallies (
    unit integer not null references units, day text not null, verdict text not null, source text not null,
    passes integer not null, seconds real not null, fastest real not null,
    primary key (unit, day, verdict, source)) without rowid;
`;

/** `STEPS[k]` takes version k to k + 1; version 0 is an empty file. A step that was released is never changed. */
const STEPS: readonly string[] = [FIRST_FORM];

export const NEWEST_FORM = STEPS.length;

/** Raised where a newer program has written the file. */
export class NewerLog extends Error {
  readonly version: number;
  constructor(version: number) {
    super(`it has form ${version}, and this program knows ${NEWEST_FORM}`);
    this.name = 'NewerLog';
    this.version = version;
  }
}

export const formOf = (database: DatabaseSync): number =>
  (database.prepare('pragma user_version').get() as { user_version: number }).user_version;

/** Each step is wholly done or not at all. @throws NewerLog */
export function migrate(database: DatabaseSync): void {
  const found = formOf(database);
  if (found > NEWEST_FORM) throw new NewerLog(found);
  STEPS.slice(found).forEach((step, i) =>
    inTransaction(database, () => {
      database.exec(step);
      database.exec(`pragma user_version = ${found + i + 1}`);
    }),
  );
}

/** Commits what `work` did, or undoes it where that fails. */
export function inTransaction<T>(database: DatabaseSync, work: () => T): T {
  database.exec('begin immediate');
  try {
    const result = work();
    database.exec('commit');
    return result;
  } catch (error) {
    // A full disk may have undone it already.
    if (database.isTransaction) database.exec('rollback');
    throw error;
  }
}
