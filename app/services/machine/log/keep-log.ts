// Keeps what was judged: it goes into the log at once, or waits in memory, and is tried again until it can.
import fs from 'node:fs';
import path from 'node:path';
import type { Amendment, LogEntry, PassRecord } from '../../../core/model/pass.ts';
import type { Problem } from '../../../core/base/result.ts';
import { settlePasses, withTurns } from '../../../core/log/history.ts';
import { localDate } from '../../../core/log/days.ts';
import { wordsOn } from '../../../core/log/teachers-word.ts';
import { standingOf } from '../../../core/progress/standing.ts';
import { todaysKey } from '../../../core/units/keys.ts';
import type { AppendAnswer } from '../../contract/contract.ts';
import type { PassQuery } from '../../contract/log-queries.ts';
import type { DataFolder } from '../store/data-folder.ts';
import type { StandingProblems } from '../store/standing-problems.ts';
import { inWords } from '../store/durable.ts';
import {
  isDamage,
  type LogStore,
  openLogStore,
  type OpenedLog,
  UNWRITABLE,
  unwritable,
} from './log-store.ts';
import { bestsOf, countsOf, daysOf, fits, lessonFrom, placesFrom, unitsOf } from './from-passes.ts';
import { memoryLog } from './memory-log.ts';
import { identityIn } from './open-log.ts';
import type { LogReader } from './read-log.ts';
import { worstOf } from './read-standings.ts';

export interface Waiting {
  readonly desk: string;
  readonly entries: readonly LogEntry[];
}

export interface LogKeeperOptions {
  readonly folder: DataFolder;
  readonly standing: StandingProblems;
  readonly now: () => Date;
  readonly newId: () => string;
}

export class LogKeeper {
  readonly #options: LogKeeperOptions;
  #opened: OpenedLog;
  #identity: string | undefined;
  #waiting: readonly Waiting[] = [];
  /** Made where it is needed. */
  #empty: LogReader | undefined;

  constructor(options: LogKeeperOptions) {
    this.#options = options;
    this.#opened = this.#open();
  }

  /** Resolves what became of the entries: on disk, or in memory with the problem that says why. */
  append(desk: string, entries: readonly LogEntry[]): AppendAnswer {
    this.#waiting = [...this.#waiting, { desk, entries }];
    const problem = this.#flush();
    const pending = this.#waiting.reduce((sum, { entries: those }) => sum + those.length, 0);
    if (!problem) return { stored: entries.length, pending: 0 };
    return { stored: 0, pending, problem: this.#options.standing.raise(problem) };
  }

  /** Entries that wait in memory. */
  get waiting(): readonly Waiting[] {
    return this.#waiting;
  }

  /** The open log; undefined where it could not be opened. */
  get store(): LogStore | undefined {
    return this.#opened.kind === 'open' ? this.#opened.log : undefined;
  }

  /** The settled passes asked for, those that wait among them. */
  passes(query: PassQuery): {
    readonly passes: readonly PassRecord[];
    readonly problems: readonly Problem[];
  } {
    const waiting = this.#waitingFor(query);
    // What waits may bring a pass under another judge, and stands after the latest that are written.
    const asked = waiting.length === 0 ? query : { ...query, judge: undefined, latest: undefined };
    const { passes, changed } = this.#ask((read) => read.passes(asked));
    return {
      passes: waiting.length === 0 ? passes : withWaiting(passes, waiting, query),
      problems: changed > 0 ? [changedRecords(changed)] : [],
    };
  }

  /** Asks the log, or an empty one where it cannot be read. A log found damaged is opened anew, and so mended. */
  #ask<T>(question: (read: LogReader) => T): T {
    try {
      return question(this.#reader);
    } catch (error) {
      if (!this.store || !isDamage(error)) throw error;
      this.#openAgain(inWords(error));
      return question(this.#reader);
    }
  }

  get #reader(): LogReader {
    const opened = this.#opened;
    const log = opened.kind === 'open' ? opened.log : opened.toRead;
    return log?.read ?? (this.#empty ??= memoryLog().read);
  }

  /** While passes wait for the disk what stands there is not whole: the answer is then made of all passes. */
  #answer<T>(
    query: PassQuery,
    read: (log: LogReader) => T,
    make: (all: readonly PassRecord[]) => T,
  ): T {
    return this.#waiting.some(({ desk }) => desk === query.desk)
      ? make(this.passes(query).passes)
      : this.#ask(read);
  }

  units: LogReader['units'] = (filter) => this.#answer(filter, (log) => log.units(filter), unitsOf);
  days: LogReader['days'] = (filter) => this.#answer(filter, (log) => log.days(filter), daysOf);
  counts: LogReader['counts'] = (asked) =>
    this.#answer(asked, (log) => log.counts(asked), countsOf);
  bests: LogReader['bests'] = (asked) => this.#answer(asked, (log) => log.bests(asked), bestsOf);
  lately: LogReader['lately'] = ({ asOf, ...of }) =>
    this.#answer(
      of,
      (log) => log.lately({ ...of, asOf }),
      (all) => all,
    );
  standing: LogReader['standing'] = (desk, asked) =>
    this.#answer(
      { desk, chart: asked.chart, bars: asked.bars },
      (log) => log.standing(desk, asked),
      (passes) => standingOf({ passes, ...asked }),
    );
  worst: LogReader['worst'] = (asked) => this.#answer(asked, (log) => log.worst(asked), worstOf);
  places: LogReader['places'] = (query) =>
    this.#answer(
      { desk: query.desk },
      (log) => log.places(query),
      (all) => placesFrom(all, query),
    );
  lesson: LogReader['lesson'] = (query) =>
    this.#answer(
      { desk: query.desk },
      (log) => log.lesson(query),
      (all) => lessonFrom(all, query),
    );
  words: LogReader['words'] = (desk) => this.#answer({ desk }, (log) => log.words(desk), wordsOn);
  bars: LogReader['bars'] = (fingerprints) => {
    const waiting = this.#waiting
      .flatMap(({ entries }) => entries)
      .flatMap((entry) => (entry.kind === 'pass' ? [entry.unit] : []))
      .filter(({ fingerprint }) => fingerprints.includes(fingerprint));
    return [...this.#ask((read) => read.bars(fingerprints)), ...waiting];
  };

  /** Copies the log where that is due, and looks through it where that is. @throws Error where no copy could be made. */
  async lookAfter(): Promise<void> {
    const { store } = this;
    if (!store || !this.#options.folder.isHere()) return;
    const flaw = await store.check(this.#options.now());
    if (flaw !== undefined) this.#openAgain(flaw);
    await this.store?.backUp(this.#options.now());
  }

  /** Takes out all of these desks, what waits among it; the copies follow. @throws Error where that cannot be written */
  forget(isGone: (desk: string) => boolean): Promise<unknown> {
    this.#waiting = this.#waiting.filter(({ desk }) => !isGone(desk));
    return this.#options.folder.isHere() ? (this.store?.forget(isGone) ?? DONE) : DONE;
  }

  /** So that it is mended. */
  #openAgain(flaw?: string): void {
    this.#close();
    this.#opened = this.#open(flaw);
  }

  #close(): void {
    const opened = this.#opened;
    if (opened.kind === 'open') opened.log.close();
    else opened.toRead?.close();
  }

  /** Looks whether the folder is there, and tries to write what waits. */
  retry(): void {
    if (this.#waiting.length > 0 || this.#mayOpenNow) this.#flush();
    else if (!this.#lookForFolder()) this.store?.keepAnswers();
  }

  get #mayOpenNow(): boolean {
    return this.#opened.kind === 'closed' && this.#opened.problem.code === UNWRITABLE;
  }

  close(): readonly Waiting[] {
    this.retry();
    this.#close();
    return this.#waiting;
  }

  get #file(): string {
    return path.join(this.#options.folder.directory, LOG);
  }

  #open(flaw?: string): OpenedLog {
    const { folder, standing, now, newId } = this.#options;
    const at = (...parts: string[]): string => path.join(folder.directory, ...parts);
    const opened = openLogStore(
      {
        file: this.#file,
        backups: at('backups', 'log'),
        setAside: at('set-aside'),
        now,
        newId,
      },
      flaw,
    );
    if (opened.kind === 'open') {
      this.#identity ??= opened.log.identity;
      opened.log.problems.forEach(standing.raise);
      standing.clear('log-unreadable');
    } else if (folder.writable) standing.raise(opened.problem);
    return opened;
  }

  #flush(): Problem | undefined {
    try {
      const gone = this.#lookForFolder();
      if (gone) return gone;
      if (this.#opened.kind === 'closed') this.#openAgain();
      if (this.#opened.kind === 'closed') return this.#opened.problem;
      const { log } = this.#opened;
      for (const { desk, entries } of this.#waiting) {
        log.write(
          desk,
          withTurns(entries, (pass) => log.wordsOn(desk, pass)),
        );
        this.#waiting = this.#waiting.slice(1);
      }
      this.#options.standing.clear(UNWRITABLE);
      return undefined;
    } catch (error) {
      return unwritable(this.#file, error);
    }
  }

  /** The problem where the folder is not at its place; a folder that came back with this log in it is taken again. */
  #lookForFolder(): Problem | undefined {
    const { folder, standing } = this.#options;
    if (folder.isHere()) {
      standing.clear(GONE);
      return undefined;
    }
    const wasHere = folder.writable;
    try {
      // Nothing is made in a folder that is another one, and the log that was open is still read meanwhile.
      if (this.#identity !== undefined && identityIn(this.#file) !== this.#identity)
        return standing.raise(
          fs.existsSync(folder.directory)
            ? anotherFolder(folder.directory)
            : folderGone(folder.directory, GONE_ERROR),
        );
      folder.takeAgain();
      this.#openAgain();
      standing.clear(GONE);
      return undefined;
    } catch (error) {
      return wasHere || this.#identity !== undefined
        ? standing.raise(folderGone(folder.directory, error))
        : unwritable(this.#file, error);
    }
  }

  #waitingFor({ desk, chart, unit, bars, since, until }: PassQuery): readonly LogEntry[] {
    const key = unit === undefined ? undefined : todaysKey(unit);
    return this.#waiting
      .filter((one) => one.desk === desk)
      .flatMap(({ entries }) => entries)
      .filter(
        (entry) =>
          entry.kind === 'amendment' ||
          ((chart === undefined || entry.pass.chart.id === chart) &&
            (key === undefined || todaysKey(entry.pass.unit.key) === key) &&
            (bars === undefined || entry.pass.unit.fingerprint === bars) &&
            (since === undefined || localDate(entry.pass.at) >= since) &&
            (until === undefined || localDate(entry.pass.at) <= until)),
      );
  }
}

function withWaiting(
  passes: readonly PassRecord[],
  waiting: readonly LogEntry[],
  query: PassQuery,
): PassRecord[] {
  const settled = settlePasses(
    [...passes, ...waiting.flatMap((entry) => (entry.kind === 'pass' ? [entry.pass] : []))],
    waiting.flatMap((entry) => (entry.kind === 'amendment' ? [entry.amendment] : [])).map(latest),
  ).filter((pass) => fits(pass, query));
  return query.latest === undefined ? settled : settled.slice(-query.latest);
}

/** What waits was said after all that stands in the log. */
const latest = (word: Amendment, i: number): Amendment =>
  word.source === 'teacher' ? word : { ...word, turn: AFTER_ALL + i };
const AFTER_ALL = 1e12;

const DONE = Promise.resolve();
const GONE = 'folder-gone';
const GONE_ERROR = Object.assign(new Error('gone'), { code: 'ENOENT' });
const LOG = 'log.sqlite';

const folderGone = (directory: string, error: unknown): Problem => ({
  code: GONE,
  message: `The data folder is no longer at its place (${directory}): ${inWords(error)}. New passes are kept in memory.`,
  cure: 'Put the folder back or connect its disk again; they are then written by themselves. Keep the program open until this message is gone.',
});

const anotherFolder = (directory: string): Problem => ({
  code: GONE,
  message: `Another folder stands where the data folder was (${directory}). New passes are kept in memory.`,
  cure: 'Put the first folder back, or start Rungwise again to go on with the new one: what waits is then put into it.',
});

const changedRecords = (count: number): Problem => ({
  code: 'log-changed',
  message: `${count === 1 ? 'One entry' : `${count} entries`} of the log are not what was written and are left out.`,
  cure: 'Start Rungwise again: the log is then mended from its copies.',
});
