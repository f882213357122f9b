// Answers that are kept with the mark of what they rest on: as soon as something is written of that, they are made anew.
import type { DatabaseSync } from 'node:sqlite';
import { inTransaction } from './log-schema.ts';
import { sumOf } from './stored-form.ts';
import { prepared } from './prepared.ts';

interface Answer {
  /** See `Pairs.mark`. */
  readonly mark: string;
  readonly answer: unknown;
}

/**
 * Counted up whenever another program's answers are not to be taken for those of this one: when what is kept has another
 * shape, or is reckoned in another way. `kept-answers.test.ts` notices.
 */
export const ANSWERS_FORM = 4;

/** Answers in memory; beyond that all are let go. */
const MOST = 5_000;

/** The mark of no passes: the answer is made quicker than kept. */
const NOTHING_PLAYED = '';

export class Kept {
  readonly #database: DatabaseSync;
  readonly #ofToday = new Map<string, Answer>();
  /** Not yet in the log. */
  readonly #made = new Map<string, Answer>();

  constructor(database: DatabaseSync) {
    this.#database = database;
  }

  /** Kept while the program runs. @param question with the mark all that the answer depends on. */
  inMemory<T>(question: string, mark: string, make: () => T): T {
    if (mark === NOTHING_PLAYED) return make();
    const known = this.#ofToday.get(question);
    if (known?.mark === mark) return known.answer as T;
    const answer = make();
    if (this.#ofToday.size >= MOST) this.#ofToday.clear();
    this.#ofToday.set(question, { mark, answer });
    return answer;
  }

  /**
   * Kept in the log itself, from one start to the next: plain data only.
   * @param holds says of an answer whether it may be given
   */
  inLog<T>(question: string, mark: string, make: () => T, holds = (_: T) => true): T {
    if (mark === NOTHING_PLAYED) return make();
    const known = this.#made.get(question) ?? this.#read(question);
    if (known?.mark === mark && holds(known.answer as T)) return known.answer as T;
    const answer = make();
    this.#made.set(question, { mark, answer });
    return answer;
  }

  /** Puts what was made into the log. Where it cannot be written they stay in memory. */
  write(): void {
    if (this.#made.size === 0) return;
    try {
      inTransaction(this.#database, () => {
        const put = this.#database.prepare(
          'insert or replace into kept (question, mark, answer, sum) values (?, ?, ?, ?)',
        );
        for (const [question, { mark, answer }] of this.#made) {
          const text = JSON.stringify(answer);
          put.run(question, mark, text, sumOf(sealed(question, mark, text)));
        }
      });
      this.#made.clear();
    } catch {
      // They are only made of what stands in the log.
    }
  }

  /** Nothing that was made is kept any longer; what stands in the log is taken out with the facts. */
  forget(): void {
    this.#ofToday.clear();
    this.#made.clear();
  }

  #read(question: string): Answer | undefined {
    const row = prepared(
      this.#database,
      'select mark, answer, sum from kept where question = ?',
    ).get(question) as { mark: string; answer: string; sum: number } | undefined;
    // What bears the sum was written by a program of this form: its shape needs no second look.
    if (!row || sumOf(sealed(question, row.mark, row.answer)) !== row.sum) return undefined;
    return { mark: row.mark, answer: JSON.parse(row.answer) };
  }
}

const sealed = (question: string, mark: string, answer: string): string =>
  `${ANSWERS_FORM}\n${question}\n${mark}\n${answer}`;
