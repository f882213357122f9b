// What came into a desk's log since a mark: for whoever hands it on, a stretch at a time.
import type { DatabaseSync } from 'node:sqlite';
import type { LogEntry } from '../../../core/model/pass.ts';
import { PASSES, passOf, type PassRow, WORDS, wordOf, type WordRow } from './copy-facts.ts';
import { prepared } from './prepared.ts';

/** Where in a log something has come to. */
export interface LogMark {
  /** Which log it is, and how its rows are numbered. */
  readonly log: string;
  readonly passes: number;
  /** The id of the pass in that row, '' before the first: rows are numbered anew where a log was mended. */
  readonly pass: string;
  readonly words: number;
  /** The check sum of the word in that row: the numbers of words that went are used again. Marks of earlier versions have none. */
  readonly word?: number | undefined;
}

export interface NewRows {
  readonly entries: readonly LogEntry[];
  readonly upTo: LogMark;
  /** There is more after it. */
  readonly more: boolean;
}

/** The mark before the first row. @param log identity of the database */
export const startOf = (log: string): LogMark => ({ log, passes: 0, pass: '', words: 0 });

/** Is the log still the one that the mark was made in? */
export function holdsMark(database: DatabaseSync, log: string, mark: LogMark): boolean {
  return mark.log === log && holdsPass(database, mark) && holdsWord(database, mark);
}

function holdsPass(database: DatabaseSync, { passes, pass }: LogMark): boolean {
  if (passes === 0) return true;
  const row = prepared(database, 'select id from passes where row = ?').get(passes);
  return (row as { id: string } | undefined)?.id === pass;
}

function holdsWord(database: DatabaseSync, { words, word }: LogMark): boolean {
  if (words === 0 || word === undefined) return true;
  const row = prepared(database, 'select sum from amendments where row = ?').get(words);
  return (row as { sum: number } | undefined)?.sum === word;
}

/** Rows of some desks are about to go. */
export interface RowsGo {
  readonly database: DatabaseSync;
  readonly isGone: (desk: string) => boolean;
  /** How the rows are numbered until then, and those that stay from then on. */
  readonly before: string;
  readonly numbering: string;
}

/** The same mark, on rows that stay; one that was made in another log goes on to hold in none. */
export function markWithout(
  mark: LogMark,
  { database, isGone, before, numbering }: RowsGo,
): LogMark {
  if (!holdsMark(database, before, mark)) return mark;
  const last = (table: 'passes' | 'amendments', row: number) =>
    prepared(
      database,
      `select * from ${table} where row <= ? and desk not in (select value from json_each(?))
         order by row desc limit 1`,
    ).get(row, gone) as LastRow | undefined;
  const desks = prepared(database, 'select ref, name from desks').all();
  const gone = JSON.stringify(
    (desks as unknown as { ref: number; name: string }[])
      .filter(({ name }) => isGone(name))
      .map(({ ref }) => ref),
  );
  const pass = last('passes', mark.passes);
  const word = last('amendments', mark.words);
  return markAt(numbering, pass, word);
}

/** The last row of one kind: of a pass with its id. */
interface LastRow {
  readonly row: number;
  readonly id: string;
  readonly sum: number;
}

const markAt = (log: string, pass: LastRow | undefined, word: LastRow | undefined): LogMark => ({
  ...{ log, passes: pass?.row ?? 0, pass: pass?.id ?? '' },
  ...{ words: word?.row ?? 0, word: word?.sum },
});

/** Passes and words of a desk after a mark, oldest first; records that were changed by a fault are left out. */
export function rowsAfter(
  database: DatabaseSync,
  desk: string,
  mark: LogMark,
  limit: number,
): NewRows {
  // The plus keeps SQLite from beginning with the desk and sorting all that is in it.
  const after = (select: string, row: number) =>
    prepared(database, `${select} where row > ? and +desks.name = ? order by row limit ?`).all(
      row,
      desk,
      limit,
    );
  const passes = after(PASSES, mark.passes) as unknown as PassRow[];
  const words = after(WORDS, mark.words) as unknown as WordRow[];
  return {
    entries: [
      ...passes.flatMap((row) => passOf(row) ?? []),
      ...words.flatMap((row) => wordOf(row) ?? []),
    ],
    ...reachedBy(passes, words, mark, limit),
  };
}

/** How far these rows come, and whether there may be more of them. */
function reachedBy(
  passes: readonly PassRow[],
  words: readonly WordRow[],
  mark: LogMark,
  limit: number,
): Pick<NewRows, 'upTo' | 'more'> {
  const last = passes.at(-1);
  const said = words.at(-1);
  return {
    upTo: {
      log: mark.log,
      passes: last?.row ?? mark.passes,
      pass: last?.id ?? mark.pass,
      words: said?.row ?? mark.words,
      word: said ? said.sum : mark.word,
    },
    more: passes.length === limit || words.length === limit,
  };
}

export interface DeskRows extends Omit<NewRows, 'entries'> {
  /** By desk, each with its passes before its words. */
  readonly desks: ReadonlyMap<string, readonly LogEntry[]>;
}

/** As {@link rowsAfter}, of every desk. */
export function rowsOfAllAfter(database: DatabaseSync, mark: LogMark, limit: number): DeskRows {
  const after = (select: string, row: number) =>
    prepared(database, `${select} where row > ? order by row limit ?`).all(row, limit);
  const passes = after(PASSES, mark.passes) as unknown as PassRow[];
  const words = after(WORDS, mark.words) as unknown as WordRow[];
  const desks = new Map<string, LogEntry[]>();
  const put = (desk: string, entry: LogEntry | undefined): void => {
    if (!desks.has(desk)) desks.set(desk, []);
    if (entry) desks.get(desk)!.push(entry);
  };
  for (const row of passes) put(row.desk, passOf(row));
  for (const row of words) put(row.desk, wordOf(row));
  return {
    desks,
    ...reachedBy(passes, words, mark, limit),
  };
}

/** The mark behind all that is there. */
export function endOf(database: DatabaseSync, log: string): LogMark {
  const newest = (table: 'passes' | 'amendments') =>
    prepared(database, `select * from ${table} order by row desc limit 1`).get() as
      LastRow | undefined;
  return markAt(log, newest('passes'), newest('amendments'));
}
