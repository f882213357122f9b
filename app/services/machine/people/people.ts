// Removing a person for good: their page, their log, copies and leftovers of both, on every machine of the teacher.
//
// Who is taken off the list can be brought back; who is removed for good cannot. What stays of them is a mark, by which
// files that come late, and other machines, know that nothing of them is to be kept.
import fs from 'node:fs';
import path from 'node:path';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import { OWN_DESK, type Student } from '../../../core/progress/assignment.ts';
import { type Keeping, MADE, UNDO, workFolder } from '../archive/keeping.ts';
import type { RowsGo } from '../log/rows-after.ts';
import { type Documents, KEPT_REMOVED } from '../store/documents.ts';
import { inWords } from '../store/durable.ts';
import { goneMark } from '../store/gone-mark.ts';

export class People {
  readonly #around: Keeping;
  readonly #before: ((rows: RowsGo) => void)[] = [];

  constructor(around: Keeping) {
    this.#around = around;
    // What could not be taken out when they were removed is taken out now.
    this.sweep();
  }

  get #students(): Documents<Student> {
    return this.#around.students;
  }
  get marks(): ReadonlySet<string> {
    return this.#students.gone;
  }
  isGone = (id: string): boolean => this.#students.isGone(id);

  /** Calls this whenever rows of the log are about to go: whoever keeps a place in it moves that first. */
  beforeRowsGo(told: (rows: RowsGo) => void): void {
    this.#before.push(told);
  }

  /** Off the list; the last fifty can be brought back, and who came before them is removed for good. */
  takeOff(id: string): Result<null> {
    const over = this.#students.removed().slice(KEPT_REMOVED - 1);
    const done = this.#students.remove(id);
    return done.ok ? this.forget(over.map(({ document }) => goneMark(document.id))) : done;
  }

  removeForGood(id: string): Result<null> {
    return id === OWN_DESK ? ok(null) : this.forget([goneMark(id)]);
  }

  /** @param marks of people, also of some who are not known here */
  forget(marks: readonly string[]): Result<null> {
    const news = marks.filter((mark) => !this.marks.has(mark));
    if (news.length === 0) return ok(null);
    const done = this.#students.forget(news);
    if (!done.ok) return done;
    for (const name of [MADE, UNDO])
      fs.rmSync(path.join(workFolder(this.#around), name), { force: true });
    return this.sweep();
  }

  /** Takes out whatever is still there of them, as where an earlier copy was brought back. */
  sweep(): Result<null> {
    const { log, folder } = this.#around;
    if (this.marks.size === 0 || !folder.writable) return ok(null);
    try {
      const { store } = log;
      if (store && store.desks(this.isGone).length > 0) {
        const { database, numbering: before, nextNumbering: numbering } = store;
        for (const told of this.#before) told({ database, isGone: this.isGone, before, numbering });
        // Its rows are counted anew.
        fs.rmSync(path.join(workFolder(this.#around), UNDO), { force: true });
      }
      void log.forget(this.isGone);
      return this.#students.clearCopies();
    } catch (error) {
      return fail(notGone(error));
    }
  }
}

const notGone = (error: unknown): Problem => ({
  code: 'not-gone',
  message: `They are off the list, but not everything of them could be taken out: ${inWords(error)}.`,
  cure: 'Make room on the disk or allow writing to the data folder; it is tried again at the next start.',
});
