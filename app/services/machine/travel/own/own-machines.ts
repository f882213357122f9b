// The machines of one player: each tells what was done on it in files of its own, and takes in what the others told.
// Files may come in any order, twice or late; all machines that have the same files have the same log and the same values.
import { setImmediate } from 'node:timers/promises';
import type { Batch, Fact, Json } from '../../../../core/exchange/shared/facts.ts';
import {
  entriesOfFacts,
  factsOfEntries,
  gathered,
  inFiles,
} from '../../../../core/exchange/shared/in-files.ts';
import { personOf } from '../../../../core/exchange/shared/person.ts';
import {
  byNumber,
  isReplaced,
  type OnShelf,
  type Shelf,
} from '../../../../core/exchange/shared/shelf.ts';
import { idOf, textOf, type Write } from '../../../../core/exchange/shared/writes.ts';
import type { LogEntry } from '../../../../core/model/pass.ts';
import { OWN_DESK } from '../../../../core/progress/assignment.ts';
import type { LogKeeper } from '../../log/keep-log.ts';
import type { LogStore } from '../../log/log-store.ts';
import {
  type DeskRows,
  endOf,
  holdsMark,
  type LogMark,
  rowsAfter,
  rowsOfAllAfter,
  startOf,
} from '../../log/rows-after.ts';
import { logMarkSchema } from '../../shared/memory.ts';
import type { Patience } from '../../shared/patience.ts';
import { ok, type Result } from '../../../../core/base/result.ts';
import type { FileOf, SharedFolder, Written } from '../../shared/shared-folder.ts';
import { CHART } from './charts-travel.ts';
import type { KeptWrites } from './kept-writes.ts';
import { lostFiles } from './lost-files.ts';
import { Standings } from './standings.ts';
import { hashOf, isOf, NOTHING, type Traveller, type Value } from './traveller.ts';

export interface OwnMachinesAround {
  readonly shared: SharedFolder;
  readonly log: Pick<LogKeeper, 'store'>;
  readonly kept: KeptWrites;
  readonly travellers: readonly Traveller[];
  /** So many small files are gathered into few; the usual number if left out. */
  readonly many?: number;
  /** The usual one if left out. */
  readonly patience?: Patience | undefined;
}

/** What a sync brought to this machine. */
export interface Came {
  readonly passes: number;
  /** Values that changed here, by their key. */
  readonly values: readonly string[];
  /** Titles of charts that two machines had changed: both versions were kept. */
  readonly both: readonly string[];
}

const NOTHING_CAME: Came = { passes: 0, values: [], both: [] };
/** Names of the mark up to which the log was told: of the player's own desk, or of all. */
const [OWN, ALL] = ['log', 'log of all'] as const;
/** Small files of this machine that are left as they are. */
const MANY = 24;
/** Passes that are told without a pause. */
const STRETCH = 500;

export class OwnMachines {
  readonly #around: OwnMachinesAround;
  readonly #standings: Standings;
  #running: Promise<Came> | undefined;

  constructor(around: OwnMachinesAround) {
    this.#around = around;
    this.#standings = new Standings(around);
  }

  /** From now on this is one of the machines of a code, and the others find it, also before it has anything to tell. */
  begin(code: string, machine: string): Result<null> {
    const { shared, kept } = this.#around;
    const told = shared.tell({ person: personOf(code), machine, facts: [] });
    if (!told.ok) return told;
    shared.memory.keep({ own: { code, machine } });
    this.#ready();
    kept.applied(told.value);
    return ok(null);
  }

  /** Tells and takes in all there is; one at a time. @throws Error where something could not be written. */
  sync(): Promise<Came> {
    this.#running ??= this.#sync().finally(() => (this.#running = undefined));
    return this.#running;
  }

  /** Tells what was not told yet, at once. @throws Error where it could not be written. */
  tell(): void {
    const store = this.#ready();
    // What a machine has not yet taken in may be what it would tell.
    if (!store || !this.#mark(store)) return;
    while (this.#tellLog(store));
    if (this.#around.kept.keysHere().length > 0) this.#tellValues(this.#valuesHere());
  }

  /** The log where this machine is one of a player's, and its folder and its log can be reached. */
  #ready(): LogStore | undefined {
    const { shared, kept, log } = this.#around;
    const { own, folder } = shared.memory.now;
    if (!own || folder === undefined || !shared.isThere) return undefined;
    // In another folder all is told anew.
    kept.of(`${personOf(own.code)} ${folder}`);
    return log.store;
  }

  async #sync(): Promise<Came> {
    const store = this.#ready();
    if (!store) return NOTHING_CAME;
    const passes = countOf(store);
    const lost = lostFiles(this.#around);
    // Until all is told once more, it is as if nothing had been: whenever the program ends.
    if (lost.compare) this.#forgetMark();
    const known = this.#mark(store) ? undefined : new Set<string>();
    if (!known) while (this.#tellLog(store)) await setImmediate();
    const { shelf } = this.#around.shared.look();
    for (const [id, segment] of this.#news(shelf, known !== undefined)) {
      const { writer, number } = segment;
      const batch = this.#takeIn(store, id, segment, known === undefined);
      // What is going to be swept away is as good as gone.
      if (batch && known && !isReplaced(shelf, writer, number))
        for (const name of namesIn(batch, writer)) known.add(name);
      await setImmediate();
    }
    if (known) while (this.#tellLog(store, known)) await setImmediate();
    // A machine that was left or let its folder go meanwhile stays as it is.
    if (this.#ready() !== store) return NOTHING_CAME;
    if (known) this.#tellWritesAgain(known);
    if (lost.files.length > 0) this.#told([], OWN_DESK, lost.files);
    const here = this.#valuesHere();
    if (this.#around.kept.keysHere().length === 0) this.#adopt(here);
    this.#tellValues(here);
    this.#gather();
    return { passes: countOf(store) - passes, ...this.#settle() };
  }

  /** Batches of this player that were not taken in yet, or all, in the order of writers and numbers. */
  #news(shelf: Shelf, all: boolean): readonly (readonly [string, OnShelf])[] {
    const { kept } = this.#around;
    const person = this.#person;
    return [...shelf]
      .filter(([id, { batch }]) => batch?.person === person && (all || !kept.isApplied(id)))
      .sort(([, a], [, b]) => byNumber(a, b));
  }

  get #person(): string {
    return personOf(this.#around.shared.memory.now.own!.code);
  }

  /**
   * A teacher's students are told of only where each student has a folder of their own: elsewhere all of them could
   * read it.
   */
  get #tellsOfStudents(): boolean {
    return this.#around.shared.memory.now.folders !== undefined;
  }

  /** How far the log was told; undefined at first, and where the log is another one (it was mended, or brought back). */
  #mark(store: LogStore): LogMark | undefined {
    const text = this.#around.kept.about(this.#tellsOfStudents ? ALL : OWN);
    const mark = text ? logMarkSchema.parse(JSON.parse(text)) : undefined;
    return mark && holdsMark(store.database, store.identity, mark) ? mark : undefined;
  }
  #forgetMark(): void {
    const { kept } = this.#around;
    kept.run(() => [OWN, ALL].forEach((name) => kept.setAbout(name, '')));
  }
  #setMark(mark: LogMark): void {
    const [name, other] = this.#tellsOfStudents ? [ALL, OWN] : [OWN, ALL];
    this.#around.kept.setAbout(name, JSON.stringify(mark));
    this.#around.kept.setAbout(other, '');
  }

  /** Tells the next stretch of the log, but what is known to the others. True where there is more. */
  #tellLog(store: LogStore, known?: ReadonlySet<string>): boolean {
    const { kept } = this.#around;
    const before = this.#mark(store);
    const { desks, upTo, more } = this.#rowsAfter(store, before ?? startOf(store.identity));
    for (const [desk, entries] of desks) {
      const news = known ? entries.filter((entry) => !known.has(nameOf(desk, entry))) : entries;
      for (const facts of factsOfEntries(news)) this.#told(facts, desk);
    }
    if (desks.size > 0 || !before) kept.run(() => this.#setMark(upTo));
    return more;
  }

  #rowsAfter({ database }: LogStore, mark: LogMark): DeskRows {
    if (this.#tellsOfStudents) return rowsOfAllAfter(database, mark, STRETCH);
    const { entries, ...rows } = rowsAfter(database, OWN_DESK, mark, STRETCH);
    const moved = JSON.stringify(rows.upTo) !== JSON.stringify(mark);
    return { ...rows, desks: new Map(moved ? [[OWN_DESK, entries]] : []) };
  }

  /** Puts facts that are kept here already. */
  #told(facts: readonly Fact[], desk: string = OWN_DESK, again: readonly FileOf[] = []): void {
    this.#around.kept.applied(this.#put(facts, desk, again));
  }

  #put(facts: readonly Fact[], desk: string = OWN_DESK, again: readonly FileOf[] = []): Written {
    const of = desk === OWN_DESK ? {} : { desk };
    const batch = { person: this.#person, machine: this.#machine, ...of, facts };
    const told = this.#around.shared.tell(batch, again);
    if (!told.ok) throw new Error(told.problems[0]!.message);
    return told.value;
  }

  /** Tells the writes that are known here and stand in no file any more, as whoever set them told them. */
  #tellWritesAgain(known: ReadonlySet<string>): void {
    const { kept, travellers } = this.#around;
    const facts = kept.writes
      .filter((write) => !known.has(nameOfWrite(write)))
      .filter(({ key }) => !travellers.some((one) => isOf(one, key) && one.rests?.() === true))
      .map(({ writer, machine, ...set }): Fact => ({
        kind: 'value',
        ...set,
        by: { writer, machine },
      }));
    for (const group of inFiles(facts)) this.#told(group);
  }

  /** Every sync leaves a small file: many of them become few, so that their number does not grow without end. */
  #gather(): void {
    const { shared, kept, many = MANY } = this.#around;
    shared.sweep();
    const person = this.#person;
    const small = shared
      .smallBatches()
      .filter(([, { batch }]) => batch!.person === person && batch!.machine === this.#machine);
    if (small.length < many) return;
    const batches: Batch[] = [];
    for (const [desk, those] of Map.groupBy(small, ([, { batch }]) => batch!.desk)) {
      const facts = those.flatMap(([id]) => shared.batch(id)?.facts ?? []);
      const head = { person, machine: this.#machine, ...(desk === undefined ? {} : { desk }) };
      batches.push(...gathered(facts).map((some) => ({ ...head, facts: some })));
    }
    if (batches.length === 0) return;
    const merged = shared.merge(
      batches.map((batch) => ({ batch })),
      small.map(([, segment]) => segment),
    );
    if (!merged.ok) throw new Error(merged.problems[0]!.message);
    kept.run(() => merged.value.forEach((file) => kept.applied(file)));
  }

  get #machine(): string {
    return this.#around.shared.memory.now.own!.machine;
  }

  /** What another machine told goes into the log and to the values that are known. */
  #takeIn(
    store: LogStore,
    id: string,
    { writer, number }: OnShelf,
    tells: boolean,
  ): Batch | undefined {
    const { shared, kept } = this.#around;
    const batch = shared.batch(id);
    if (!batch) return undefined;
    const entries = entriesOfFacts(batch.facts);
    const { desk = OWN_DESK } = batch;
    const logged = entries.length > 0 && tells;
    // What was played meanwhile is told first: all that is in the log after this came from others.
    if (logged) while (this.#tellLog(store));
    if (entries.length > 0) store.write(desk, entries);
    const writes = writesIn(batch.facts, writer, batch.machine);
    kept.run(() => {
      if (logged) this.#setMark(endOf(store.database, store.identity));
      kept.join(writes);
      kept.applied({ hash: id, writer, number });
    });
    return batch;
  }

  #valuesHere(): ReadonlyMap<string, Value> {
    return new Map(this.#awake.flatMap(({ values }) => [...values()]));
  }
  get #awake(): readonly Traveller[] {
    return this.#around.travellers.filter(({ rests }) => rests?.() !== true);
  }

  /**
   * A machine that joins others takes over how they are set; charts that differ are kept in both versions, and a task
   * that was changed more often here stands.
   */
  #adopt(here: ReadonlyMap<string, Value>): void {
    const { kept } = this.#around;
    kept.run(() => {
      for (const [key, value] of here) {
        const top = this.#standings.of(key)?.top;
        if (!top) continue;
        const differs = hashOf(top.value) !== value.hash;
        if (differs && (key.startsWith(CHART) || isFurther(value.read(), top.value))) continue;
        kept.setHere(key, { hash: value.hash, id: idOf(top) });
      }
    });
  }

  /** Tells the values that were changed here since they were last looked at. */
  #tellValues(here: ReadonlyMap<string, Value>): void {
    const { kept } = this.#around;
    const awake = new Set(this.#awake);
    const resting = this.#around.travellers.filter((one) => !awake.has(one));
    const told = kept
      .keysHere()
      .filter((key) => !resting.some((one) => isOf(one, key)))
      // What is taken away as a whole is told as a whole.
      .filter(
        (key) =>
          here.has(key) ||
          this.#standings.isWhole(key) ||
          here.has(this.#standings.wholeOf(key)!.key),
      );
    const changed = [...new Set([...here.keys(), ...told])].flatMap((key) => {
      const value = here.get(key);
      const before = kept.here(key);
      if ((value?.hash ?? NOTHING) === (before?.hash ?? NOTHING)) return [];
      return [{ key, value: value?.read() ?? null, over: before?.id }];
    });
    const turn = kept.lastTurn + 1;
    const facts = changed.map(({ key, value, over }): Extract<Fact, { kind: 'value' }> => {
      return { kind: 'value', key, value, turn, ...(over === undefined ? {} : { over }) };
    });
    for (const group of inFiles(facts)) {
      const told = this.#put(group);
      const writes = writesIn(group, told.writer, this.#machine);
      kept.run(() => {
        // Not before: where the program ends in between, it finds out by the file what it has told.
        kept.applied(told);
        kept.join(writes);
        for (const write of writes)
          kept.setHere(write.key, { hash: hashOf(write.value), id: idOf(write) });
      });
    }
  }

  /** Brings what stands here to what stands everywhere. */
  #settle(): Pick<Came, 'values' | 'both'> {
    const { kept, travellers } = this.#around;
    const keys = this.#standings.withParts(this.#standings.withAsides([...kept.touched]));
    const values: string[] = [];
    const both: string[] = [];
    const waiting = new Set<string>();
    for (const traveller of travellers) {
      const mine = keys.filter((key) => isOf(traveller, key));
      if (traveller.rests?.()) {
        mine.forEach((key) => waiting.add(key));
        continue;
      }
      const news = new Map<string, Json>();
      for (const key of mine) {
        const value = this.#standings.of(key)?.top.value ?? null;
        if (hashOf(value) !== this.#standings.hashHere(key)) news.set(key, value);
      }
      // What cannot be taken over yet is looked at again with the next that comes.
      const left =
        news.size > 0
          ? traveller.take(news, (key) => this.#standings.of(key)?.top.value)
          : undefined;
      left?.forEach((key) => news.delete(key));
      const taken = left && left.size > 0 ? mine.filter((key) => !left.has(key)) : mine;
      left?.forEach((key) => waiting.add(key));
      const now = news.size > 0 ? traveller.values() : new Map<string, Value>();
      kept.run(() => {
        for (const key of taken) {
          const id = this.#standings.of(key)?.top;
          const hash = news.has(key) ? (now.get(key)?.hash ?? NOTHING) : kept.here(key)?.hash;
          kept.setHere(key, { hash: hash ?? NOTHING, id: id && idOf(id) });
        }
        // Others of the same kind may have moved with them, as the order of tasks does.
        for (const [key, { hash }] of now) {
          const before = kept.here(key);
          if (before && before.hash !== hash) kept.setHere(key, { ...before, hash });
        }
      });
      kept.settled(taken);
      values.push(...news.keys());
      both.push(...[...news.keys()].filter((key) => this.#standings.isAside(key)));
    }
    kept.settled(keys.filter((key) => !waiting.has(key)));
    return { values, both };
  }
}

const writesIn = (facts: readonly Fact[], writer: string, machine: string): readonly Write[] =>
  facts.flatMap((fact) => {
    if (fact.kind !== 'value') return [];
    const { key, value, turn, over, by = { writer, machine } } = fact;
    return { key, value, turn, ...by, ...(over === undefined ? {} : { over }) };
  });

/** Was a task changed more often than the other version of it? */
function isFurther(here: Json, there: Json): boolean {
  const changes = (task: Json): number => {
    const earlier = (task as { readonly earlier?: unknown } | null)?.earlier;
    return Array.isArray(earlier) ? earlier.length : 0;
  };
  return changes(here) > changes(there);
}

/** What tells an entry from any other. */
const nameOf = (desk: string, entry: LogEntry): string =>
  `${desk}\n${entry.kind === 'pass' ? entry.pass.id : JSON.stringify(entry.amendment)}`;

/** The names of all facts in a batch. */
const namesIn = ({ facts, desk = OWN_DESK, machine }: Batch, writer: string): readonly string[] => [
  ...entriesOfFacts(facts).map((entry) => nameOf(desk, entry)),
  ...writesIn(facts, writer, machine).map(nameOfWrite),
];

const nameOfWrite = ({ key, turn, writer, value }: Write): string =>
  JSON.stringify([key, turn, writer, textOf(value)]);

const countOf = ({ database }: LogStore): number =>
  (database.prepare('select count(*) as n from passes').get() as { n: number }).n;
