// Tells the others what came into the log, from a mark by row; where the mark does not fit, all that they do not know.
import { setImmediate } from 'node:timers/promises';
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
import type { Written } from '../../shared/own-files.ts';
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
  readonly put: (facts: readonly Fact[], desk: string) => Written;
}

/** Names of the mark up to which the log was told: of the player's own desk, or of all. */
const [OWN, ALL] = ['log', 'log of all'] as const;
/** Passes that are told without a pause. */
const STRETCH = 500;

export class TellLog {
  readonly #around: TellingAround;

  constructor(around: TellingAround) {
    this.#around = around;
  }

  /**
   * Tells the next stretch of the log. True where there is more. The mark never stands before what is noted as told: in a
   * log that was brought back it would hold, and what was told since would not be read in its file.
   */
  next(store: LogStore): boolean {
    const { kept } = this.#around;
    const before = this.#mark(store);
    const rows = this.#rowsAfter(store, before ?? startOf(store.numbering));
    const told = this.#tell(rows);
    if (rows.desks.size > 0 || !before)
      kept.run(() => {
        told.forEach((file) => kept.wrote(file));
        this.#setMark(rows.upTo);
      });
    return rows.more;
  }

  /**
   * Tells all of the log but what is known to the others, and adds it to that. Until then it is as if nothing had been
   * told: there is no mark.
   */
  async all(store: LogStore, known: Set<string>): Promise<void> {
    const { kept } = this.#around;
    for (let upTo = startOf(store.numbering), more = true; more; await setImmediate()) {
      // Rows went meanwhile, and those that stay may have other numbers.
      if (upTo.log !== store.numbering) upTo = startOf(store.numbering);
      const rows = this.#rowsAfter(store, upTo);
      const told = this.#tell(rows, known);
      ({ upTo, more } = rows);
      kept.run(() => {
        told.forEach((file) => kept.wrote(file));
        if (!more) this.#setMark(upTo);
      });
    }
  }

  #tell({ desks }: DeskRows, known?: Set<string>): readonly Written[] {
    const { isGone, put } = this.#around;
    return [...desks].flatMap(([desk, entries]) => {
      if (isGone(desk)) return [];
      const news = entries.filter((entry) => !known?.has(nameOfEntry(desk, entry)));
      for (const entry of news) known?.add(nameOfEntry(desk, entry));
      return factsOfEntries(news).map((facts) => put(facts, desk));
    });
  }

  /** False at first, and where the log is another one (it was mended, or brought back). */
  hasMark = (store: LogStore): boolean => this.#mark(store) !== undefined;

  /** Until all is told once more, it is as if nothing had been: whenever the program ends. */
  forgetMark(): void {
    const { kept } = this.#around;
    kept.run(() => [OWN, ALL].forEach((name) => kept.setAbout(name, '')));
  }

  /** Rows are about to go: the mark stands on those that stay. */
  keepMark(rows: RowsGo): void {
    const { kept } = this.#around;
    for (const name of [OWN, ALL]) {
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
    return mark && holdsMark(store.database, store.numbering, mark) ? mark : undefined;
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
