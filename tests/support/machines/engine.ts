// The engine by which a player's machines keep alike, on a file system and databases in memory: killed, restored and
// interrupted at any step.
import path from 'node:path';
import { setImmediate } from 'node:timers/promises';
import type { Json } from '../../../app/core/exchange/shared/facts.ts';
import { readSegment } from '../../../app/core/exchange/shared/segment.ts';
import { withTurns } from '../../../app/core/log/history.ts';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { OWN_DESK, type Student } from '../../../app/core/progress/assignment.ts';
import { LogStore } from '../../../app/services/machine/log/log-store.ts';
import { rowsOfAllAfter, startOf } from '../../../app/services/machine/log/rows-after.ts';
import type { Files } from '../../../app/services/machine/shared/files.ts';
import { HOME } from '../../../app/services/machine/shared/places.ts';
import { SharedFolder } from '../../../app/services/machine/shared/shared-folder.ts';
import { goneTravel } from '../../../app/services/machine/travel/own/gone-travel.ts';
import { headsOfOthers } from '../../../app/services/machine/travel/own/purge.ts';
import { OwnMachines } from '../../../app/services/machine/travel/own/own-machines.ts';
import { studentsTravel } from '../../../app/services/machine/travel/own/students-travel.ts';
import { type Traveller, valuesOf } from '../../../app/services/machine/travel/own/traveller.ts';
import { Fuse, FusedWrites, fusedLog } from './fuse.ts';
import {
  copyOf,
  type CopyOfKept,
  databaseOf,
  type Kept,
  keptFrom,
  newKept,
  newLog,
} from './kept.ts';
import type { MemoryDisk } from './memory-files.ts';
import { openDesk, type TeachersDesk } from './teachers-desk.ts';

/** Looks until a file counts as lost. */
const patience = { own: 1, others: 2 };
/** Rounds after which all of them have been looked for. */
export const CALM = 3;

const CODE = 'KMQT-7WXA';

interface Backup {
  readonly kept: CopyOfKept;
  /** What lay in the data folder, and in the shared one. */
  readonly files: ReadonlyMap<string, string>;
  readonly shared: ReadonlyMap<string, string>;
}

export class EngineMachine {
  readonly name: string;
  folder: string;
  readonly #data: string;
  readonly #disk: MemoryDisk;
  #kept: Kept;
  #opened: Opened;
  #backup: Backup | undefined;
  readonly #fuse = new Fuse();
  #days = 0;
  #ticks = 0;
  #ids = 0;
  #moves = 0;
  /** The names that its writers' names may begin with: also those of a machine whose data folder was copied to it. */
  #names: ReadonlySet<string>;
  /** It goes on with a copy of another's data folder, or another with one of its own: both know again what either makes. */
  #isOneOfTwo = false;
  /** What it did that no segment of this kind may see. */
  readonly faults: string[] = [];

  constructor(disk: MemoryDisk, name: string) {
    this.name = name;
    this.#names = new Set([name]);
    this.folder = `/${name}/shared`;
    this.#data = `/${name}/data`;
    this.#disk = disk;
    disk.makeFolder(this.folder);
    disk.makeFolder(this.#data);
    this.#kept = newKept(`log-${name}`);
    this.#opened = this.#open();
    this.#opened.shared.choose(this.folder);
    // Each student has a folder: the machines of the teacher tell each other of them.
    this.#opened.shared.memory.keep({ folders: {} });
  }

  get store(): LogStore {
    return this.#opened.log.store;
  }
  get shared(): SharedFolder {
    return this.#opened.shared;
  }
  get values(): ReadonlyMap<string, Json> {
    return this.#kept.values;
  }
  get students(): readonly Student[] {
    return this.#opened.desk.students.list().filter(({ id }) => id !== OWN_DESK);
  }
  /** Marks of people who were removed for good. */
  get gone(): ReadonlySet<string> {
    return this.#opened.desk.students.gone;
  }
  /** All that stands in its databases and its list, whether it is in use there or left over. */
  get bytes(): readonly string[] {
    const { log, writes, list } = this.#kept;
    const databases = [log, writes].map((one) => Buffer.from(one.serialize()).toString('latin1'));
    return [...databases, JSON.stringify(list.value)];
  }
  /** Does it know such a writer for itself? */
  isOwn(writer: string): boolean {
    return this.shared.writers.has(writer) || this.shared.memory.madeHere(writer);
  }
  get isJoined(): boolean {
    return this.shared.memory.now.own !== undefined;
  }

  /** Did it take in or write this file? */
  knows(writer: string, number: number): boolean {
    const isIt = 'select 1 from told where writer = ? and number = ?';
    return this.#kept.writes.prepare(isIt).get(writer, number) !== undefined;
  }

  now = (): Date =>
    new Date(Date.UTC(2031, 0, 1) + this.#days * 86_400_000 + (this.#ticks += 1_000));
  /** The clock jumps: so many days from what is right. */
  turnClock(days: number): void {
    this.#days = days;
  }

  join(): void {
    if (this.isJoined) return;
    this.#opened.own.begin(CODE, this.name);
  }

  append(entries: readonly LogEntry[], desk: string = OWN_DESK): void {
    const { store } = this;
    store.write(
      desk,
      withTurns(entries, (pass) => store.wordsOn(desk, pass)),
    );
  }

  /** Takes them on or writes of them, where they were not removed for good as far as this machine knows. */
  saveStudent(student: Student): void {
    this.#opened.desk.students.save(student);
  }
  takeOff(id: string): void {
    this.#opened.desk.people.takeOff(id);
  }
  removeForGood(id: string): void {
    this.#opened.desk.people.removeForGood(id);
  }
  /** A removal in which it dies after so many changes on its disk; then it starts anew. */
  async dieRemoving(id: string, changes: number): Promise<void> {
    this.#fuse.light(changes);
    await this.#survive(async () => this.removeForGood(id));
    this.restart();
  }

  set(key: string, value: Json): void {
    if (value === null) this.#kept.values.delete(key);
    else this.#kept.values.set(key, value);
  }

  /** The shared folder cannot be reached. */
  away = false;

  /** @param meanwhile done when the sync has paused so many times */
  sync(meanwhile?: () => unknown, pauses = 0): Promise<void> {
    return this.#survive(async () => {
      // It runs until its first pause.
      const running = this.#opened.own.sync();
      for (let i = 0; i < pauses; i++) await setImmediate();
      // Nothing goes on when this is over: a program that died later would go on beside the next.
      await Promise.all([running, meanwhile?.()]);
    });
  }
  /** Asks for a sync, and tells, while one may be running. */
  syncAnew(): Promise<unknown> {
    const anew = this.#opened.own.sync();
    this.#opened.own.tell();
    return anew;
  }
  tell(): Promise<void> {
    return this.#survive(async () => this.#opened.own.tell());
  }
  /** A sync in which it dies after so many changes on its disk; then it starts anew. */
  async dieInSync(changes: number): Promise<void> {
    this.#fuse.light(changes);
    await this.sync();
    this.restart();
  }

  restart(): void {
    this.#fuse.renew();
    this.#opened = this.#open();
  }

  backUp(): void {
    this.#backup = {
      kept: copyOf(this.#kept),
      files: this.#disk.copyOf(this.#data),
      shared: this.#disk.copyOf(this.folder),
    };
  }
  restore(): void {
    if (this.#backup) this.#takeUp(this.#backup);
  }
  #takeUp({ kept, files }: Pick<Backup, 'kept' | 'files'>): void {
    this.close();
    this.#kept = keptFrom(kept);
    this.#disk.exchange(this.#data, files);
    this.restart();
    const { away } = this;
    this.away = false;
    if (this.shared.memory.now.folder !== this.folder) this.shared.choose(this.folder);
    this.away = away;
  }

  /** The shared folder as it was at the last backup, as where a service or somebody brings it back. */
  restoreFolder(): void {
    const { shared } = this.#backup ?? {};
    if (!shared || [...shared.keys()].some((file) => !file.startsWith(`${this.folder}/`))) return;
    this.#disk.exchange(this.folder, shared);
    this.#disk.makeFolder(path.join(this.folder, HOME));
  }
  /** The log alone as it was at the last backup. */
  restoreLog(): void {
    const { kept } = this.#backup ?? {};
    if (kept?.identity !== this.#kept.identity) return;
    this.#kept.log.close();
    this.#kept = { ...this.#kept, log: databaseOf(kept.log) };
    this.restart();
  }
  /** Another folder is chosen, with nothing in it yet; the one of before is gone. */
  move(): void {
    if (this.away) return;
    const before = this.folder;
    this.folder = `/${this.name}/shared ${++this.#moves}`;
    this.#disk.makeFolder(this.folder);
    this.shared.choose(this.folder);
    this.#disk.remove(before);
  }
  /** Goes on with a copy of another machine's data folder, as on a new computer; both go on. */
  copy(other: EngineMachine): void {
    if (other === this || this.away) return;
    other.backUp();
    const { files, kept } = other.#backup!;
    this.#names = new Set([...this.#names, ...other.#names]);
    this.#isOneOfTwo = other.#isOneOfTwo = true;
    const moved = [...files].map(([file, text]) => [file.replace(other.#data, this.#data), text]);
    this.#takeUp({ kept, files: new Map(moved as [string, string][]) });
  }

  /** The log is made anew of what stands in it, as where it was damaged: another one, with its rows numbered anew. */
  mendLog(): void {
    const { database, numbering } = this.store;
    const { desks } = rowsOfAllAfter(database, startOf(numbering), Number.MAX_SAFE_INTEGER);
    const raw = database.prepare('select record from passes').all();
    const read = [...desks.values()].flat().filter(({ kind }) => kind === 'pass');
    if (raw.length !== read.length) this.faults.push('a pass is not read');
    const identity = `log-${this.name}-${++this.#ids}`;
    this.#kept.log.close();
    this.#kept = { ...this.#kept, log: newLog(), identity };
    this.#opened = this.#open();
    for (const [desk, entries] of desks) this.store.write(desk, entries);
  }

  close(): void {
    for (const database of [this.#kept.log, this.#kept.writes])
      if (database.isOpen) database.close();
  }

  async #survive(work: () => Promise<unknown>): Promise<void> {
    try {
      await work();
    } catch (error) {
      if (!this.#fuse.isDead && !this.away) throw error;
    }
  }

  #change(at: string, text?: string): void {
    this.#fuse.check();
    if (text !== undefined && at.endsWith('.rungshare')) this.#look(at, text);
    this.#fuse.burn();
  }

  /** A closed file is never written anew but to be emptied, and no other machine's folder is written into. */
  #look(at: string, text: string): void {
    const before = this.#disk.text(at);
    if (before !== undefined && before !== text && !isEmptied(text))
      this.faults.push(`${at} was written anew`);
    const writer = path.basename(path.dirname(at));
    const isTwins = this.#isOneOfTwo && this.shared.memory.madeHere(writer);
    if (!isTwins && ![...this.#names].some((name) => writer.startsWith(`${name}-`))) {
      this.faults.push(`${this.name} wrote ${at}`);
    }
  }

  #open(): Opened {
    const places = { file: '', backups: '', setAside: '' };
    const { log, identity } = this.#kept;
    const kept = new FusedWrites(this.#kept.writes, this.#fuse);
    // Nothing waits to be settled in memory.
    const store = fusedLog(new LogStore(places, log, identity, []), this.#fuse);
    const shared = new SharedFolder({
      ...{ directory: this.#data, now: this.now },
      heads: headsOfOthers(kept.heads, (id) => desk.people.isGone(id)),
      newId: () => `${this.name}-${++this.#ids}`,
      files: this.#files,
    });
    const desk = openDesk({
      ...{ kept: this.#kept.list, store, directory: this.#data },
      ...{ now: this.now, fuse: this.#fuse },
    });
    const { students, people } = desk;
    const travellers = [
      ...['setting:', 'chart:'].map((prefix) => this.#traveller(prefix)),
      goneTravel(people),
      studentsTravel(students, () => false),
    ];
    const own = new OwnMachines({
      ...{ shared, kept, travellers, people, patience },
      log: { store },
      many: 3,
    });
    return { own, shared, desk, log: { store } };
  }

  get #files(): Files {
    const hidden = (at: string): boolean => this.away && at.startsWith(this.folder);
    const files = this.#disk.files((at, text) => {
      if (hidden(at)) throw new Error(`${at} cannot be reached`);
      this.#change(at, text);
    });
    return {
      ...files,
      isFolder: (at) => !hidden(at) && files.isFolder(at),
      inside: (at) => (hidden(at) ? [] : files.inside(at)),
    };
  }

  #traveller = (prefix: string): Traveller => ({
    prefixes: [prefix],
    values: () => valuesOf([...this.#kept.values].filter(([key]) => key.startsWith(prefix))),
    take: (values) => {
      for (const [key, value] of values) {
        this.#fuse.burn();
        this.set(key, value);
      }
    },
  });
}

interface Opened {
  readonly own: OwnMachines;
  readonly shared: SharedFolder;
  readonly desk: TeachersDesk;
  readonly log: { readonly store: LogStore };
}

/** Nothing but its number is left, and what it stands for. */
function isEmptied(text: string): boolean {
  const read = readSegment(text);
  return read.kind === 'whole' && !read.segment.batch;
}
