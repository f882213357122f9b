// What the conductor notes of each pass until its record is written: identity, time, what the ear heard.
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { IsoTime } from '../../../app/core/base/units.ts';

interface Note {
  readonly id?: string;
  readonly at?: IsoTime;
  readonly changes?: readonly ChangeHeard[];
}

export class PassNotes {
  readonly #notes = new Map<number, Note>();

  ended(pass: number, at: IsoTime): void {
    this.#amend(pass, { at });
  }

  heard(pass: number, changes: readonly ChangeHeard[]): void {
    this.#amend(pass, { changes });
  }

  /** The pass's identity in the log, made the first time it is asked for, and what else is known. */
  facts(pass: number, around: { newId(): string; isoNow(): IsoTime }) {
    const note = this.#notes.get(pass) ?? {};
    const facts = { ...note, id: note.id ?? around.newId(), at: note.at ?? around.isoNow() };
    this.#notes.set(pass, facts);
    return facts;
  }

  #amend(pass: number, change: Note): void {
    this.#notes.set(pass, { ...this.#notes.get(pass), ...change });
  }
}
