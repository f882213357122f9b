// Task sheets and reports on their way into the shared folder: what cannot be put there now is kept in the data folder,
// and goes by itself once it can.
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import type { Parcel } from '../../../core/exchange/shared/parcel.ts';
import type { LeavingParcel, Posted } from '../../contract/shared.ts';
import type { SharedPlace } from '../courier/shared-place.ts';
import { notThere, notWritten } from '../shared/own-files.ts';
import type { DataFolder } from '../store/data-folder.ts';
import { attempt, inWords } from '../store/durable.ts';
import { LeavingFiles, leavingId, type Waiting } from './leaving-files.ts';

interface LeavingAround {
  readonly data: DataFolder;
  readonly now: () => Date;
  readonly place: Pick<SharedPlace, 'folder' | 'chosen'>;
  readonly raise: (problem: Problem) => unknown;
  /** What waits has changed. */
  readonly told: () => void;
}

export class Leaving {
  readonly #around: LeavingAround;
  readonly #files: LeavingFiles;
  readonly #heads = new Map<string, LeavingParcel>();
  /** Why the last one that was tried stayed here. */
  #why: Problem | undefined;

  constructor(around: LeavingAround) {
    this.#around = around;
    this.#files = new LeavingFiles(around.data);
    for (const id of this.#files.ids) {
      const waiting = this.#files.read(id);
      if (waiting) this.#heads.set(id, headOf(id, waiting));
      else {
        attempt(() => this.#files.setAside(id, around.now));
        around.raise(spoilt);
      }
    }
  }

  /** In the order in which they were written. */
  get list(): readonly LeavingParcel[] {
    return [...this.#heads.values()].sort((a, b) => Date.parse(a.since) - Date.parse(b.since));
  }
  /** Why they wait; undefined where none does, or none was tried since the start. */
  get why(): Problem | undefined {
    return this.#heads.size > 0 ? this.#why : undefined;
  }

  /** Puts it into the shared folder, or keeps it until that can be done. */
  post(parcel: Parcel): Result<Posted> {
    const { place, now } = this.#around;
    const { chosen } = place;
    if (chosen === undefined) return fail(notThere(''));
    // What comes on top of others comes after them.
    if (parcel.adds) this.flush();
    const behind = parcel.adds === true && this.list.some((one) => isAbout(one, parcel));
    const posted = !behind && this.#put(parcel);
    const id = leavingId(parcel);
    try {
      if (!posted) this.#keep(id, { folder: chosen, since: isoTimeOf(now()), parcel });
    } catch (error) {
      return fail(notKept(error));
    }
    // What stands in this one needs to go no more, wherever it was to go.
    this.#drop((one) => isReplaced(one, parcel) && (posted || one.id !== id));
    return ok(posted ? 'there' : 'waits');
  }

  /** Puts into the folder what waits for it, in the order in which it was written, until one cannot be put. */
  flush(): void {
    const { place, told } = this.#around;
    const here = this.list.filter(({ folder }) => folder === place.chosen);
    if (here.length === 0 || !place.folder.isThere) return;
    for (const { id } of here) {
      const parcel = this.#files.read(id)?.parcel;
      // The program may have ended after it was put there.
      if (parcel && !this.#isThere(parcel) && !this.#put(parcel)) return told();
      this.#drop((one) => one.id === id);
    }
    told();
  }

  /** As {@link flush}, where it was the folder that was missing: asked often. */
  retry(): void {
    if (this.#heads.size > 0 && this.#why?.code !== UNWRITABLE) this.flush();
  }

  /** Another folder is chosen: what waits goes along only where it is the same one at another place. */
  chosenAfter(before: string | undefined): void {
    const { folder, chosen } = this.#around.place;
    if (chosen === undefined) return this.forget(() => true);
    if (before === chosen || !folder.wroteHereLast) return;
    for (const { id } of this.list.filter((one) => one.folder === before)) {
      const waiting = this.#files.read(id);
      if (waiting) attempt(() => this.#keep(id, { ...waiting, folder: chosen }));
    }
  }

  /** It does not leave. @throws Error where it cannot be removed */
  keepBack(id: string): void {
    this.#drop((one) => one.id === id);
    this.#around.told();
  }

  /** Nothing of such students leaves. */
  forget(isIt: (student: string) => boolean): void {
    this.#drop(({ student }) => isIt(student));
  }

  #put(parcel: Parcel): boolean {
    const { folder, chosen = '' } = this.#around.place;
    try {
      const posted = folder.isThere ? folder.post(parcel) : fail(folder.whyAway);
      this.#why = posted.ok ? undefined : posted.problems[0];
    } catch (error) {
      this.#why = notWritten(chosen, error);
    }
    return this.#why === undefined;
  }

  #isThere({ kind, student, text }: Parcel): boolean {
    const { folder } = this.#around.place;
    const mine = folder.writers;
    return [...folder.look().shelf.values()].some(
      ({ writer, parcel }) =>
        mine.has(writer) &&
        parcel?.kind === kind &&
        parcel.student === student &&
        parcel.text === text,
    );
  }

  #keep(id: string, waiting: Waiting): void {
    this.#files.write(id, waiting);
    this.#heads.set(id, headOf(id, waiting));
  }

  #drop(which: (one: LeavingParcel) => boolean): void {
    for (const one of [...this.#heads.values()].filter(which)) {
      this.#files.remove(one.id);
      this.#heads.delete(one.id);
    }
  }
}

const headOf = (id: string, { folder, since, parcel }: Waiting): LeavingParcel => ({
  ...{ id, folder, since, kind: parcel.kind, student: parcel.student, name: parcel.name },
});

const isAbout = (one: LeavingParcel, { kind, student }: Parcel): boolean =>
  one.kind === kind && one.student === student;

/** A whole one holds all that came before it. */
const isReplaced = (one: LeavingParcel, parcel: Parcel): boolean =>
  !parcel.adds && isAbout(one, parcel);

const UNWRITABLE = 'shared-unwritable';

const spoilt: Problem = {
  code: 'leaving-spoilt',
  message: 'A task sheet or report that waited for the shared folder is damaged, and does not go',
  cure: 'Write it again. The damaged file was set aside.',
};

const notKept = (error: unknown): Problem => ({
  code: 'leaving-not-kept',
  message: `The shared folder cannot be reached, and what was to go there could not be kept here: ${inWords(error)}`,
  cure: 'Make room on this computer, then write it again.',
});
