// The log of a data folder: opened, mended where it is damaged, written, asked, copied now and then.
import type { DatabaseSync } from 'node:sqlite';
import fs from 'node:fs';
import { localDate } from '../../../core/log/days.ts';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import type { Problem } from '../../../core/base/result.ts';
import { inWords, sqliteCode } from '../store/durable.ts';
import { setImmediate } from 'node:timers/promises';
import { type Flaw, fullCheck, fullFlaw, quickFlaw } from './check-log.ts';
import { desksIn, forgetDesks, timesForgotten } from './forget-desks.ts';
import { backUp, backupsIn, factsIn, forgetInBackups } from './log-backups.ts';
import { NewerLog } from './log-schema.ts';
import { Kept } from './kept.ts';
import { finishMending, type LogPlaces, mendLog, unmendable } from './mend-log.ts';
import { about, openLog, openToRead } from './open-log.ts';
import { type LogReader, readLog } from './read-log.ts';
import { readWordsOn, type WriteEntries, writeLog } from './write-log.ts';

/** Every record of a log smaller than this is looked at whenever it is opened, in a fraction of a second. */
const SMALL = 5_000;
/** Days after which a larger one is looked at wholly again, while it is open. */
const WEEK = 7;
/** What was just written stands in a file beside the log; soon afterwards it goes into the log itself. */
const SETTLE_MS = 500;
const DAMAGED = new Set(['SQLITE_CORRUPT', 'SQLITE_NOTADB']);

/** Does SQLite say by this error that the file is no sound database? */
export const isDamage = (error: unknown): boolean => DAMAGED.has(sqliteCode(error));
/** While a log is opened, only tables that are not ours make an error of SQL: a spoilt head of the file, mostly. */
const isForeign = (error: unknown): boolean => sqliteCode(error) === 'SQLITE_ERROR';

export class LogStore {
  /** What was found wrong when it was opened. */
  readonly problems: readonly Problem[];
  /** Tells this log from that of another data folder. */
  readonly identity: string;
  readonly write: WriteEntries;
  readonly read: LogReader;
  /** What was said on a pass, as it stands in the log. */
  readonly wordsOn: ReturnType<typeof readWordsOn>;
  readonly #database: DatabaseSync;
  readonly #places: LogPlaces;
  readonly #kept: Kept;
  #settling: NodeJS.Timeout | undefined;
  #copying: Promise<unknown> = Promise.resolve();

  constructor(
    places: LogPlaces,
    database: DatabaseSync,
    identity: string,
    problems: readonly Problem[],
  ) {
    this.#places = places;
    this.#database = database;
    this.identity = identity;
    this.problems = problems;
    const write = writeLog(database);
    this.write = (desk, entries) => {
      write(desk, entries);
      this.#settleSoon();
    };
    this.#kept = new Kept(database);
    this.read = readLog(database, this.#kept);
    this.wordsOn = readWordsOn(database);
  }

  /** Makes today's copy where the last one holds less. Reading and writing go on meanwhile. */
  backUp(now: Date): Promise<unknown> {
    const day = localDate(isoTimeOf(now));
    this.#copying = this.#copying.then(() => backUp(this.#database, this.#places.backups, day));
    return this.#copying;
  }

  /** The names of those desks that are there. */
  desks = (which: (desk: string) => boolean): readonly string[] => desksIn(this.#database, which);

  /** Takes these desks out, and then out of the copies. @throws Error where the log could not be written */
  forget(isGone: (desk: string) => boolean): Promise<unknown> {
    const desks = this.desks(isGone);
    this.#kept.forget();
    if (desks.length > 0) forgetDesks(this.#database, desks);
    const copying = this.#copying.then(() => forgetInBackups(this.#places.backups, isGone));
    return (this.#copying = copying);
  }

  /** How its rows are numbered: another text where some of them went, as the numbers may then be used again. */
  get numbering(): string {
    return numberingOf(this.identity, timesForgotten(this.#database));
  }
  /** As it will be when rows have gone once more. */
  get nextNumbering(): string {
    return numberingOf(this.identity, timesForgotten(this.#database) + 1);
  }

  /** Looks at every record of a large log once a week, bit by bit; says what is wrong with it. */
  async check(now: Date): Promise<Flaw> {
    const checked = about(this.#database, 'checked');
    const days = checked === undefined ? WEEK : (now.getTime() - Date.parse(checked)) / 86_400_000;
    if (isSmall(this.#database) || (days >= 0 && days < WEEK)) return undefined;
    for (const flaw of fullCheck(this.#database)) {
      if (flaw !== undefined) return flaw;
      await setImmediate();
      if (!this.#database.isOpen) return undefined;
    }
    setAbout(this.#database, 'checked', isoTimeOf(now));
    return undefined;
  }

  /** Sees onto the disk what was made of passes when questions were answered. */
  keepAnswers(): void {
    if (this.#database.isOpen) this.#kept.write();
  }

  /** For whoever copies the file while it is open. */
  get database(): DatabaseSync {
    return this.#database;
  }

  close(): void {
    clearTimeout(this.#settling);
    if (this.#database.isOpen) this.#database.close();
  }

  #settleSoon(): void {
    this.#settling ??= setTimeout(() => {
      this.#settling = undefined;
      if (this.#database.isOpen) this.#database.exec('pragma wal_checkpoint(passive)');
    }, SETTLE_MS).unref();
  }
}

const numberingOf = (identity: string, times: number): string =>
  times === 0 ? identity : `${identity} ${times}`;

export interface OpenOptions extends LogPlaces {
  readonly now: () => Date;
  readonly newId: () => string;
}

export type OpenedLog =
  | { readonly kind: 'open'; readonly log: LogStore }
  /** It could not be opened to write, and was left as it is. */
  | {
      readonly kind: 'closed';
      readonly problem: Problem;
      /** Where it can be read all the same. */
      readonly toRead?: { readonly read: LogReader; readonly close: () => void };
    };

/** Opens the log, or makes it; never throws for what the file holds. @param flaw is known of it already. */
export function openLogStore(options: OpenOptions, flaw?: Flaw): OpenedLog {
  try {
    const { database, problems } = openSound(options, flaw);
    const identity = identityOf(database, options.newId);
    return { kind: 'open', log: new LogStore(options, database, identity, problems) };
  } catch (error) {
    if (error instanceof NewerLog) return { kind: 'closed', problem: newer(options.file, error) };
    const database = openToRead(options.file);
    if (!database) return { kind: 'closed', problem: unmendable(options.file, error) };
    const toRead = { read: readLog(database), close: () => database.close() };
    return { kind: 'closed', problem: unwritable(options.file, error), toRead };
  }
}

/** A log that cannot be written now may be later. */
export const UNWRITABLE = 'log-unwritable';

/** @param error what the disk said */
export const unwritable = (file: string, error: unknown): Problem => ({
  code: UNWRITABLE,
  message: `Your passes can't be written to disk (${file}): ${inWords(error)}. They are kept in memory.`,
  cure: 'Make room on the disk or allow writing to the data folder; they are then written by themselves. Keep the program open until this message is gone.',
});

function openSound(
  options: OpenOptions,
  known: Flaw,
): {
  readonly database: DatabaseSync;
  readonly problems: readonly Problem[];
} {
  finishMending(options.file);
  const size = fs.statSync(options.file, { throwIfNoEntry: false })?.size;
  let why = known;
  // An empty folder is new; one with copies of a log has lost it.
  if (!size && backupsIn(options.backups).length > 0) {
    why = size === undefined ? 'it is gone' : 'it is empty';
    const problem = mendLog(options, why, stampOf(options.now()));
    return { database: openLog(options.file), problems: [problem] };
  }
  try {
    const database = openLog(options.file);
    if (!size) return { database, problems: [] };
    why ??= flawOf(database);
    if (why === undefined) return { database, problems: [] };
    database.close();
  } catch (error) {
    if (!isDamage(error) && !isForeign(error)) throw error;
    why = 'what stands in it is not what was written';
  }
  const problem = mendLog(options, why, stampOf(options.now()));
  return { database: openLog(options.file), problems: [problem] };
}

const stampOf = (time: Date): string =>
  isoTimeOf(time)
    .replace(/[-:.+]/g, '')
    .slice(0, 15);

/** Looks at everything where that is quick, at the pages otherwise. */
const flawOf = (database: DatabaseSync): string | undefined =>
  isSmall(database) ? fullFlaw(database) : quickFlaw(database);

const isSmall = (database: DatabaseSync): boolean => factsIn(database) <= SMALL;

function identityOf(database: DatabaseSync, newId: () => string): string {
  const known = about(database, 'identity');
  if (known !== undefined) return known;
  const made = newId();
  setAbout(database, 'identity', made);
  return made;
}

function setAbout(database: DatabaseSync, name: string, value: string): void {
  database.prepare('insert or replace into about (name, value) values (?, ?)').run(name, value);
}

const newer = (file: string, error: NewerLog): Problem => ({
  code: 'store-newer',
  message: `The log was written by a newer Rungwise: ${error.message}. It was left as it is (${file}).`,
  cure: 'Update Rungwise; until then your passes are kept in memory and put beside the data folder when the program ends.',
});
