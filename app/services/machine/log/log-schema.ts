// The tables of the log and how an earlier form of them becomes the present one: numbered steps, counted in `user_version`.
import type { DatabaseSync } from 'node:sqlite';
import { prepared } from './prepared.ts';

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

/** Draws the mark of the pairs that a changed pass or word belongs to. */
const draws = (when: string, table: string, pairs: string): string => `
  create trigger ${table}_${when} after ${when} on ${table} begin
    insert into played (unit, bars, changed) ${pairs}
      on conflict do update set changed = excluded.changed;
  end;`;

const pairOf = (pass: 'old' | 'new'): string =>
  `select ${pass}.unit, ${pass}.bars, hex(randomblob(8)) where true`;

const pairsOfWord = (word: 'old' | 'new'): string =>
  `select unit, bars, hex(randomblob(8)) from passes where desk = ${word}.desk and id = ${word}.pass`;

/** Which units were played on which bars, with a mark; and what was made of their passes, under the mark it holds for. */
const KEPT = `
  create table played (
    unit integer not null, bars integer not null, changed text not null, primary key (unit, bars)) without rowid;
  create table kept (
    question text primary key, mark text not null, answer text not null, sum integer not null) without rowid;
`;
const PAIRS_PLAYED = `
  insert into played (unit, bars, changed)
    select unit, bars, hex(randomblob(8)) from (select distinct unit, bars from passes);
`;

/** Whatever writes, the marks follow: triggers draw them, inside the same transaction. */
const SECOND_FORM = `
  ${KEPT} ${PAIRS_PLAYED}
  ${draws('insert', 'passes', pairOf('new'))}
  ${draws('update', 'passes', `${pairOf('new')} union ${pairOf('old')}`)}
  ${draws('delete', 'passes', pairOf('old'))}
  ${draws('insert', 'amendments', pairsOfWord('new'))}
  ${draws('update', 'amendments', `${pairsOfWord('new')} union ${pairsOfWord('old')}`)}
  ${draws('delete', 'amendments', pairsOfWord('old'))}
  drop index passes_of_bars;
  create index passes_of_pair on passes (bars, unit, instant);
`;

/** `STEPS[k]` takes version k to k + 1; version 0 is an empty file. A step that was released is never changed. */
const STEPS: readonly string[] = [FIRST_FORM, SECOND_FORM];

/** What the present form has more than the first, in memory: for a log of the first form that cannot be written. */
export const READ_AS_PRESENT: ReadonlyMap<number, string> = new Map([
  [
    1,
    `pragma temp_store = memory; ${KEPT.replaceAll('create table', 'create temp table')} ${PAIRS_PLAYED}`,
  ],
  [STEPS.length, ''],
]);

const NEWEST_FORM = STEPS.length;

/** Raised where a newer program has written the file. */
export class NewerLog extends Error {
  readonly version: number;
  constructor(version: number) {
    super(`it has form ${version}, and this program knows ${NEWEST_FORM}`);
    this.name = 'NewerLog';
    this.version = version;
  }
}

/** The number of the form in which this log is kept; 0 of an empty file. */
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
  prepared(database, 'begin immediate').run();
  try {
    const result = work();
    prepared(database, 'commit').run();
    return result;
  } catch (error) {
    // A full disk may have undone it already.
    if (database.isTransaction) database.exec('rollback');
    throw error;
  }
}
