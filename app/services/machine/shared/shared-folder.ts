// The shared folder: what others wrote there is read, what this machine writes stands in files of its own.
import path from 'node:path';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import type { Batch } from '../../../core/exchange/shared/facts.ts';
import type { GivenRecording } from '../../../core/exchange/shared/given-recording.ts';
import type { Parcel } from '../../../core/exchange/shared/parcel.ts';
import { numberIn } from '../../../core/exchange/shared/segment.ts';
import {
  isHeldBy,
  joinAgain,
  newestParcels,
  numbersOf,
  type OnShelf,
  type ParcelOnShelf,
  rangesOf,
  replacedOn,
  type Shelf,
  writersOf,
} from '../../../core/exchange/shared/shelf.ts';
import type { SharedFile, SharedState } from '../../contract/shared.ts';
import { fileName, freeName } from '../store/file-name.ts';
import { type Files, onDisk } from './files.ts';
import { choicesIn, openMemory, type SharedMemory, unshared } from './memory.ts';
import {
  type Content,
  type FileOf,
  notThere,
  notWritten,
  type Outbox,
  OwnFiles,
  type Replaced,
  type Written,
} from './own-files.ts';
import { HOME } from './places.ts';
import { type KeptHeads, type Look, ShelfReader } from './shelf-reader.ts';
import { headOf, isNew, markOf } from './taken.ts';

export interface SharedOptions {
  /** The data folder. */
  readonly directory: string;
  readonly now: () => Date;
  readonly newId: () => string;
  /** How the teacher's desk calls a student; undefined where it does not know one. */
  readonly nameOf?: (student: string) => string | undefined;
  /** Asked before anything is written: somebody may have locked the folder meanwhile. */
  readonly beforeWriting?: () => void;
  readonly afterWriting?: () => void;
  /** What was read of batches and recordings in an earlier run, by file, size and time. */
  readonly heads?: KeptHeads | undefined;
  /** Keeps what is posted. */
  readonly outbox?: Outbox | undefined;
  /** Told where what was remembered of the folder was found spoilt. */
  readonly raise?: ((problem: Problem) => unknown) | undefined;
  /** The disk's, if left out. */
  readonly files?: Files | undefined;
}

export class SharedFolder {
  readonly #options: SharedOptions;
  readonly memory: SharedMemory;
  readonly #reader: ShelfReader;
  readonly #files: Files;
  readonly #own: OwnFiles;

  constructor(options: SharedOptions) {
    this.#options = options;
    this.#files = options.files ?? onDisk;
    this.#reader = new ShelfReader(this.#files, options.heads);
    this.memory = openMemory({ ...options, files: this.#files });
    const { memory } = this;
    this.#own = new OwnFiles({
      ...options,
      ...{ memory, reader: this.#reader, files: this.#files },
    });
  }

  state(): SharedState {
    const { folder, taken, folders } = this.memory.now;
    if (folder === undefined) return unshared(this.memory.now);
    const { shelf, flawed } = this.look();
    const mine = this.writers;
    const file = (id: string): string => path.relative(folder, this.#reader.filesOf(id).at(-1)!);
    return {
      ...{ folder, ...choicesIn(this.memory.now) },
      writers: writersOf(shelf).map((one) => ({ ...one, mine: mine.has(one.writer) })),
      waiting: this.#others(shelf).filter(isNew(taken)).map(headOf),
      written: [...shelf]
        .filter(([, { writer }]) => mine.has(writer))
        .flatMap(([id, segment]): SharedFile[] => {
          const holds = contentOf(segment);
          const { number, written } = segment;
          return holds ? [{ number, written, file: file(id), ...holds }] : [];
        })
        .sort((a, b) => (a.file < b.file ? -1 : 1)),
      ...(flawed.length > 0 ? { flawed } : {}),
      ...(this.isThere ? {} : { away: this.whyAway }),
      ...(folders
        ? {
            folders: Object.entries(folders).map(([student, name]) => ({ student, name })),
          }
        : {}),
    };
  }

  /** Undefined leaves the shared folder; nothing in it is changed. */
  choose(folder: string | undefined): Result<null> {
    if (folder === undefined) {
      this.memory.keep({ folder: undefined });
      return ok(null);
    }
    if (!path.isAbsolute(folder) || !this.#files.isFolder(folder)) return fail(notThere(folder));
    try {
      this.#files.makeFolder(path.join(folder, HOME));
    } catch (error) {
      return fail(notWritten(folder, error));
    }
    this.memory.keep({ folder });
    return ok(null);
  }

  /** From now on each student has a folder in the shared one, which can be shared with that student alone; or all have one. */
  parted(students: readonly string[] | undefined): Result<null> {
    const { folder } = this.memory.now;
    if (folder === undefined || !this.isThere) return fail(this.whyAway);
    if (!students) {
      this.memory.keep({ folders: undefined });
      return ok(null);
    }
    try {
      this.memory.keep({ folders: this.memory.now.folders ?? {} });
      for (const student of students)
        this.#files.makeFolder(path.join(folder, this.#folderOf(student), HOME));
      return ok(null);
    } catch (error) {
      return fail(notWritten(folder, error));
    }
  }

  post(parcel: Parcel): Result<Written> {
    const apart = parcel.kind === 'sheet' && this.memory.now.folders !== undefined;
    const place = apart ? this.#folderOf(parcel.student) : '';
    const old = parcel.adds ? [] : this.#supersededBy(parcel, place);
    if (old.length < MANY_OLD || !this.#own.keepsName(place)) return this.#put({ parcel }, place);
    const put = this.#put({ parcel, instead: rangesOf(old.flatMap(numbersOf)) }, place);
    this.sweep();
    return put;
  }

  /** As it is written, it is kept for the case that its file is lost. */
  #put(content: Content, place: string): Result<Written> {
    const put = this.#own.put(content, place);
    const { folder } = this.memory.now;
    if (put.ok && folder !== undefined && !content.batch)
      this.#options.outbox?.put(put.value, content.parcel, { folder, place });
    return put;
  }

  /** Says in a place that nobody has to wait for these files any more: what was in them was posted again, or taken out. */
  waitNoMore(files: readonly FileOf[], place: string): Result<Written> {
    return this.#put({ again: byWriter(files) }, place);
  }

  /** Of the same kind and student, in the same place: a whole one holds all that stands in them. */
  #supersededBy({ kind, student }: Parcel, place: string): readonly OnShelf[] {
    const { writer } = this.memory.place(place);
    return [...this.look().shelf.values()].filter(
      (one) => one.writer === writer && one.parcel?.kind === kind && one.parcel.student === student,
    );
  }

  /** Reports that this machine put on top of one another, small beside what a file may hold; oldest first. */
  smallReports(student: string): readonly (readonly [id: string, segment: OnShelf])[] {
    const { writer } = this.memory.place('');
    return [...this.look().shelf]
      .filter(([, one]) => {
        const { parcel } = one;
        const isOf = parcel?.kind === 'report' && parcel.adds && parcel.student === student;
        return isOf && one.writer === writer && parcel.text.length <= SMALL_BYTES;
      })
      .sort(([, a], [, b]) => a.number - b.number);
  }

  /** What this machine tells the others of its player. @param again the files whose facts have all been told once more */
  tell(batch: Batch, again: readonly FileOf[] = []): Result<Written> {
    return this.#own.put({ batch, ...(again.length > 0 ? { again: byWriter(again) } : {}) }, '');
  }

  /** Batches of this machine in files that are small beside what one may hold, oldest first. */
  smallBatches(): readonly (readonly [id: string, segment: OnShelf])[] {
    const { folder } = this.memory.now;
    if (folder === undefined) return [];
    const { writer } = this.memory.place('');
    const { shelf } = this.look();
    const isSmall = (id: string): boolean =>
      this.#files.stamp(this.#reader.filesOf(id)[0]!).bytes <= SMALL_BYTES;
    return [...shelf]
      .filter(([id, one]) => one.writer === writer && one.batch && isSmall(id))
      .filter(([, { batch }]) => batch!.facts <= SMALL_FACTS)
      .sort(([, a], [, b]) => a.number - b.number);
  }

  /**
   * Writes batches in the place of smaller files of this machine, and takes these away: nobody waits for them, and what
   * is taken in twice counts once. Where it ends in between, the smaller ones are swept away the next time.
   */
  merge(
    contents: readonly Content[],
    those: readonly (readonly [id: string, segment: OnShelf])[],
  ): Result<readonly Written[]> {
    // Under a new name the numbers would be those of other files.
    if (!this.#own.keepsName('')) return ok([]);
    const instead = rangesOf(those.flatMap(([, one]) => numbersOf(one)));
    const again = joinAgain(those.map(([, one]) => one));
    const stands = { instead, ...(again.length > 0 ? { again } : {}) };
    const written: Written[] = [];
    for (const [i, content] of contents.entries()) {
      const last = i === contents.length - 1;
      const put = this.#put({ ...content, ...(last ? stands : {}) }, '');
      if (!put.ok) return put;
      written.push(put.value);
    }
    const gathered = new Set(those.map(([id]) => id));
    this.sweep((id) => gathered.has(id));
    return ok(written);
  }

  /** Tells of a file, by its path in the folder, whether its content stands in a later one; as of now. */
  isReplaced(): (file: string) => boolean {
    const isReplaced = replacedOn(this.look().shelf);
    return (file) => {
      const [name = '', writer = ''] = file.split('/').toReversed();
      return isReplaced(writer, numberIn(name));
    };
  }

  /** See {@link OwnFiles.replaced}. */
  replaced(): readonly Replaced[] {
    return this.#own.replaced();
  }

  /** Takes away files of this machine whose content stands in a later one: of parcels that is seen, of others it is asked. */
  sweep(isElsewhere: (id: string) => boolean = () => false): void {
    this.#own.sweep(({ id, one, by }) => isElsewhere(id) || isHeldBy(by, one));
  }

  open(id: string): Result<string> {
    const segment = this.look().shelf.get(id);
    return segment?.parcel ? ok(segment.parcel.text) : fail(goneParcel);
  }

  /** What a batch on the shelf of the last look holds; undefined where it is there no more. */
  batch(id: string): Batch | undefined {
    return this.#reader.whole(id)?.batch;
  }

  /** Puts a recording into the folder, for those whom it names. */
  give(recording: GivenRecording): Result<Written> {
    return this.#own.put({ recording }, '');
  }

  /** A recording on the shelf of the last look, with its sound; undefined where it is there no more. */
  recording(id: string): GivenRecording | undefined {
    return this.#reader.whole(id)?.recording;
  }

  /** Reports that others wrote and that were not taken in, in the order in which they were written. */
  reports(): readonly ParcelOnShelf[] {
    const { folder, taken } = this.memory.now;
    if (folder === undefined) return [];
    return this.#others(this.look().shelf)
      .filter(({ parcel }) => parcel.kind === 'report')
      .filter(isNew(taken));
  }

  /** It was taken in or put away, and is not offered again. */
  taken(id: string): void {
    const { parcel } = this.look().shelf.get(id) ?? {};
    const marks = [id, ...(parcel ? [markOf(parcel)] : [])];
    const all = new Set([...this.memory.now.taken, ...marks]);
    this.memory.keep({ taken: [...all].slice(-MOST_TAKEN) });
  }

  /** Students for whom a sheet of this machine lies there. */
  sheetsFor(): ReadonlySet<string> {
    const mine = this.writers;
    return new Set(
      [...this.look().shelf.values()].flatMap(({ writer, parcel }) =>
        mine.has(writer) && parcel?.kind === 'sheet' ? [parcel.student] : [],
      ),
    );
  }

  /** Takes out what this machine wrote of a student; numbers that others may wait for stay, empty. */
  forget(student: string): Result<{ readonly emptied: number }> {
    const emptied = this.empty(({ parcel }) => parcel?.student === student);
    if (emptied.ok) this.#options.outbox?.drop(student);
    const { folder, folders = {} } = this.memory.now;
    const place = new Map(Object.entries(folders)).get(student);
    if (!emptied.ok || folder === undefined || place === undefined) return emptied;
    const left = this.#own.leave(place);
    if (!left.ok) return left;
    this.#options.outbox?.leave(place);
    // Where the student's own files stay, the folder goes on to be this student's.
    if (!left.value)
      this.memory.keep({
        folders: Object.fromEntries(Object.entries(folders).filter(([id]) => id !== student)),
      });
    return emptied;
  }

  /** Takes away all that this machine wrote, in every place; whatever it writes next begins anew. */
  withdraw(): Result<null> {
    const withdrawn = this.#own.withdraw();
    if (withdrawn.ok) this.#options.outbox?.clear();
    return withdrawn;
  }

  /** Empties what this machine wrote; the numbers stay, so that nobody waits for them. */
  empty(which: (segment: OnShelf, id: string) => boolean): Result<{ readonly emptied: number }> {
    return this.#own.empty(which);
  }

  /** Everything that has arrived, in whatever order, and what could not be used of it. */
  look(): Look {
    return this.#reader.look(this.memory.now.folder);
  }

  /** The names under which this machine writes and wrote. */
  get writers(): ReadonlySet<string> {
    return this.#own.writers;
  }

  /** See {@link OwnFiles.knowAgain}. */
  knowAgain(writer: string): void {
    this.#own.knowAgain(writer);
  }

  #others(shelf: Shelf): readonly ParcelOnShelf[] {
    const mine = this.writers;
    return newestParcels(shelf).filter(({ segment }) => !mine.has(segment.writer));
  }

  /** Can the chosen folder be reached? */
  get isThere(): boolean {
    return this.#own.isThere;
  }

  /** What is told where it cannot. */
  get whyAway(): Problem {
    return this.#own.whyAway;
  }
  get wroteHereLast(): boolean {
    return this.#own.wroteHereLast;
  }

  /** A student's folder in the shared one, by the name on the list; it keeps that name. */
  #folderOf(student: string): string {
    const folders = new Map(Object.entries(this.memory.now.folders ?? {}));
    const known = folders.get(student);
    if (known !== undefined) return known;
    const plain = fileName(this.#options.nameOf?.(student) ?? student);
    const there = this.#files.inside(this.memory.now.folder!).map(({ name }) => name);
    // Some systems hold names apart that others take for one.
    const plainly = (one: string): string => one.normalize('NFC').toLowerCase();
    const taken = new Set([HOME, ...folders.values(), ...there].map(plainly));
    const name = freeName(plain, (one) => taken.has(plainly(one)));
    this.memory.keep({ folders: Object.fromEntries(folders.set(student, name)) });
    return name;
  }
}

/** What a file holds, in the list of what was written; undefined where it was emptied. */
function contentOf({ parcel, batch, recording }: OnShelf) {
  if (parcel) return { name: parcel.name };
  if (recording) return { name: `Recording of ${recording.note.chart.title}` };
  return batch && { records: batch.facts };
}

/** So many sheets of a student that a newer one holds are left as they are. */
const MANY_OLD = 8;
/** Facts, and bytes, up to which a file is small. */
const SMALL_FACTS = 400;
const SMALL_BYTES = 300_000;
/** More than a class sends in years. */
const MOST_TAKEN = 20_000;

const byWriter = (files: readonly FileOf[]) =>
  [...Map.groupBy(files, ({ writer }) => writer)].map(([writer, those]) => ({
    ...{ writer, numbers: rangesOf(those.map(({ number }) => number)) },
  }));

const goneParcel: Problem = {
  code: 'shared-gone',
  message: 'This is not in the shared folder any more',
  cure: 'Ask for it again.',
};
