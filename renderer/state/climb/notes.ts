// What a climb notes of each pass until its record is written: identity, time, what the ear heard.
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { IsoTime } from '../../../app/core/base/units.ts';
import type { Surroundings } from './surroundings.ts';

interface Note {
  readonly id?: string;
  readonly at?: IsoTime;
  readonly changes?: readonly ChangeHeard[];
  played?: readonly number[];
}

export class PassNotes {
  readonly #notes = new Map<number, Note>();
  readonly #around: Pick<Surroundings, 'newId' | 'isoNow'>;

  constructor(around: Pick<Surroundings, 'newId' | 'isoNow'>) {
    this.#around = around;
  }

  ended(pass: number): void {
    this.#amend(pass, { at: this.#around.isoNow() });
  }

  heard(pass: number, changes: readonly ChangeHeard[]): void {
    this.#amend(pass, { changes });
  }

  /** Changes that the player upholds against the ear; none takes it back. */
  upheld(pass: number, played: readonly number[]): void {
    const note = { ...this.#notes.get(pass) };
    delete note.played;
    this.#notes.set(pass, played.length > 0 ? { ...note, played } : note);
  }

  /** What a later word on the pass must repeat, lest it be taken back. */
  said(pass: number): Pick<Note, 'played'> {
    const { played } = this.#notes.get(pass) ?? {};
    return played ? { played } : {};
  }

  /** The pass's identity in the log, made the first time it is asked for, and what else is known. */
  facts(pass: number) {
    const note = this.#notes.get(pass) ?? {};
    const { newId, isoNow } = this.#around;
    const facts = { ...note, id: note.id ?? newId(), at: note.at ?? isoNow() };
    this.#notes.set(pass, facts);
    return facts;
  }

  #amend(pass: number, change: Note): void {
    this.#notes.set(pass, { ...this.#notes.get(pass), ...change });
  }
}
