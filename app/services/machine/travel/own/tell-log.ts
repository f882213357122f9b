// Tells the others what came into the log, from a mark by row; where the mark does not fit, all that they do not know.
import { factsOfEntries } from '../../../../core/exchange/shared/in-files.ts';
import type { Fact } from '../../../../core/exchange/shared/facts.ts';
import { OWN_DESK } from '../../../../core/progress/assignment.ts';
import type { LogStore } from '../../log/log-store.ts';
import {
  type DeskRows,
  endOf,
  holdsMark,
  type LogMark,
  markWithout,
  type RowsGo,
  rowsAfter,
  rowsOfAllAfter,
  startOf,
} from '../../log/rows-after.ts';
import { logMarkSchema } from '../../shared/memory.ts';
import { nameOfEntry } from './fact-names.ts';
import type { KeptWrites } from './kept-writes.ts';

interface TellingAround {
  readonly kept: KeptWrites;
  /**
   * Are a teacher's students told of? Only where each has a folder of their own: elsewhere all of them could read it.
   */
  readonly ofStudents: () => boolean;
  /** Of whom nothing is told: removed for good. */
  readonly isGone: (desk: string) => boolean;
  /** Puts facts that are kept here already. */
  readonly told: (store: LogStore, facts: readonly Fact[], desk: string) => void;
}

/** Names of the mark up to which the log was told: of the player's own desk, or of all. */
const [OWN, ALL] = ['log', 'log of all'] as const;
/**
 * Name of the end of the log when a file was last noted as told or taken in. Where the log does not come so far any more,
 * it was brought back, and what stands in such files may be missing in it.
 */
const SEEN = 'log as seen';
/** Passes that are told without a pause. */
const STRETCH = 500;

export class TellLog {
  readonly #around: TellingAround;

  constructor(around: TellingAround) {
    this.#around = around;
  }

  /** Tells the next stretch of the log, but what is known to the others. True where there is more. */
  next(store: LogStore, known?: ReadonlySet<string>): boolean {
    const before = this.#mark(store);
    const { desks, upTo, more } = this.#rowsAfter(store, before ?? startOf(store.numbering));
    for (const [desk, entries] of desks) {
      if (this.#around.isGone(desk)) continue;
      const news = known
        ? entries.filter((entry) => !known.has(nameOfEntry(desk, entry)))
        : entries;
      for (const facts of factsOfEntries(news)) this.#around.told(store, facts, desk);
    }
    if (desks.size > 0 || !before) this.#around.kept.run(() => this.#setMark(upTo));
    return more;
  }

  /** False at first, and where the log is another one (it was mended, or brought back). */
  hasMark = (store: LogStore): boolean => this.#mark(store) !== undefined;

  /** Is all of the log there that was there when a file was last noted? */
  isWhole(store: LogStore): boolean {
    const seen = this.#markOf(SEEN);
    return !seen || holdsMark(store.database, store.numbering, seen);
  }
  /** Kept in one transaction with the note of a file. */
  see(store: LogStore): void {
    const end = endOf(store.database, store.numbering);
    this.#around.kept.setAbout(SEEN, JSON.stringify(end));
  }

  /** Until all is told once more, it is as if nothing had been: whenever the program ends. */
  forgetMark(): void {
    const { kept } = this.#around;
    kept.run(() => [OWN, ALL].forEach((name) => kept.setAbout(name, '')));
  }

  /** Rows are about to go: the mark stands on those that stay. */
  keepMark(rows: RowsGo): void {
    const { kept } = this.#around;
    for (const name of [OWN, ALL, SEEN]) {
      const mark = this.#markOf(name);
      if (mark) kept.setAbout(name, JSON.stringify(markWithout(mark, rows)));
    }
  }

  /** Everything in the log was told, or came from others. */
  markEnd(store: LogStore): void {
    this.#setMark(endOf(store.database, store.numbering));
  }

  #mark(store: LogStore): LogMark | undefined {
    const mark = this.#markOf(this.#around.ofStudents() ? ALL : OWN);
    const holds = mark && this.isWhole(store) && holdsMark(store.database, store.numbering, mark);
    return holds ? mark : undefined;
  }

  #markOf(name: string): LogMark | undefined {
    const text = this.#around.kept.about(name);
    return text ? logMarkSchema.parse(JSON.parse(text)) : undefined;
  }

  #setMark(mark: LogMark): void {
    const [name, other] = this.#around.ofStudents() ? [ALL, OWN] : [OWN, ALL];
    this.#around.kept.setAbout(name, JSON.stringify(mark));
    this.#around.kept.setAbout(other, '');
  }

  #rowsAfter({ database }: LogStore, mark: LogMark): DeskRows {
    if (this.#around.ofStudents()) return rowsOfAllAfter(database, mark, STRETCH);
    const { entries, ...rows } = rowsAfter(database, OWN_DESK, mark, STRETCH);
    const moved = JSON.stringify(rows.upTo) !== JSON.stringify(mark);
    return { ...rows, desks: new Map(moved ? [[OWN_DESK, entries]] : []) };
  }
}
