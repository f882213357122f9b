// Takes all of some desks out of a log, so that nothing of them is left in its file.
import type { DatabaseSync } from 'node:sqlite';
import { formOf, inTransaction } from './log-schema.ts';
import { about } from './open-log.ts';

/** @returns the names of those desks that are there */
export const desksIn = (
  database: DatabaseSync,
  isGone: (desk: string) => boolean,
): readonly string[] =>
  (database.prepare('select name from desks').all() as unknown as { name: string }[])
    .map(({ name }) => name)
    .filter(isGone);

/** All of it or none. @throws Error where the log could not be written */
export function forgetDesks(database: DatabaseSync, desks: readonly string[]): void {
  inTransaction(database, () => {
    for (const desk of desks)
      for (const statement of FACTS_OF_A_DESK) database.prepare(statement).run(desk);
    if (formOf(database) > 1) for (const statement of KEPT_OF_NOBODY) database.exec(statement);
    for (const desk of desks)
      for (const statement of NAMES_OF_A_DESK) database.prepare(statement).run(desk);
    // Sittings and bars may be those of others, too.
    database.exec('delete from sittings where ref not in (select sitting from passes)');
    database.exec('delete from bars where ref not in (select bars from passes)');
    countForgotten(database);
  });
  writeAnew(database);
}

/** Nothing that was deleted is left in the file: SQLite lets it lie where it was. @throws Error where there is no room for it */
export function writeAnew(database: DatabaseSync): void {
  database.exec('vacuum; pragma wal_checkpoint(truncate)');
}

/** So often rows went: the numbers of the last may be those of others since. */
export const timesForgotten = (database: DatabaseSync): number =>
  Number(about(database, FORGOTTEN) ?? 0);

/** Rows go: no place in the log that was kept before holds any more. */
export function countForgotten(database: DatabaseSync): void {
  database
    .prepare('insert or replace into about (name, value) values (?, ?)')
    .run(FORGOTTEN, String(timesForgotten(database) + 1));
}

const FORGOTTEN = 'forgotten';

const ref = '(select ref from desks where name = ?)';
const FACTS_OF_A_DESK = [
  `delete from tallies where unit in (select units.ref from units where desk = ${ref})`,
  `delete from amendments where desk = ${ref}`,
  `delete from passes where desk = ${ref}`,
];
/** What was made of passes; a copy of the first form has none of it. Answers are made anew when they are asked for. */
const KEPT_OF_NOBODY = [
  `delete from played where not exists
     (select 1 from passes where passes.unit = played.unit and passes.bars = played.bars)`,
  'delete from kept',
];
const NAMES_OF_A_DESK = [
  `delete from units where desk = ${ref}`,
  'delete from desks where name = ?',
];
