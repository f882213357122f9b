// The machines of one player: each tells what was done on it in files of its own, and takes in what the others told.
// Files may come in any order, twice or late; all machines that have the same files have the same log and the same values.
import { setImmediate } from 'node:timers/promises';
import { ok, type Result } from '../../../../core/base/result.ts';
import type { Batch, Fact } from '../../../../core/exchange/shared/facts.ts';
import { entriesOfFacts, gathered, inFiles } from '../../../../core/exchange/shared/in-files.ts';
import { personOf } from '../../../../core/exchange/shared/person.ts';
import {
  byNumber,
  type OnShelf,
  replacedOn,
  type Shelf,
} from '../../../../core/exchange/shared/shelf.ts';
import { idOf } from '../../../../core/exchange/shared/writes.ts';
import { OWN_DESK } from '../../../../core/progress/assignment.ts';
import type { LogKeeper } from '../../log/keep-log.ts';
import type { LogStore } from '../../log/log-store.ts';
import type { People } from '../../people/people.ts';
import type { FileOf, Written } from '../../shared/own-files.ts';
import type { Patience } from '../../shared/patience.ts';
import type { SharedFolder } from '../../shared/shared-folder.ts';
import { namesIn, nameOfWrite, nameWithSum, writesIn } from './fact-names.ts';
import type { KeptWrites } from './kept-writes.ts';
import { tellLeftOver } from './left-over.ts';
import { type Lost, lostFiles, noteStoodFor, noteTold } from './lost-files.ts';
import { Purge } from './purge.ts';
import { type Settled, Settling } from './settle.ts';
import { TellLog } from './tell-log.ts';
import { hashOf, isOf, type Traveller, type Value } from './traveller.ts';
import { prepared } from '../../log/prepared.ts';

export interface OwnMachinesAround {
  readonly shared: SharedFolder;
  readonly log: Pick<LogKeeper, 'store'>;
  readonly kept: KeptWrites;
  readonly travellers: readonly Traveller[];
  /** So many small files are gathered into few; the usual number if left out. */
  readonly many?: number;
  readonly people: Pick<People, 'marks' | 'isGone' | 'forget' | 'beforeRowsGo'>;
  /** The usual one if left out. */
  readonly patience?: Patience | undefined;
}

/** What a sync brought to this machine. */
export interface Came extends Settled {
  readonly passes: number;
}

const NOTHING_CAME: Came = { passes: 0, values: [], both: [] };
/** Small files of this machine that are left as they are, beside one for each desk. */
const MANY = 24;
export class OwnMachines {
  readonly #around: OwnMachinesAround;
  readonly #log: TellLog;
  readonly #settling: Settling;
  readonly #purge: Purge;
  #running: Promise<Came> | undefined;

  constructor(around: OwnMachinesAround) {
    this.#around = around;
    const { shared, kept, people } = around;
    this.#purge = new Purge(around);
    people.beforeRowsGo((rows) => this.#log.keepMark(rows));
    this.#log = new TellLog({
      kept,
      ofStudents: () => shared.memory.now.folders !== undefined,
      put: (facts, desk) => this.#put(facts, desk),
      isGone: this.#purge.isGone,
    });
    this.#settling = new Settling(around);
  }

  /** From now on this is one of the machines of a code, and the others find it, also before it has anything to tell. */
  begin(code: string, machine: string): Result<null> {
    const { shared, kept } = this.#around;
    const told = shared.tell({ person: personOf(code), machine, facts: [] });
    if (!told.ok) return told;
    shared.memory.keep({ own: { code, machine } });
    this.#ready();
    kept.wrote(told.value);
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
    if (!store || !this.#log.hasMark(store)) return;
    while (this.#log.next(store));
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
    this.#purge.remember();
    const passes = countOf(store);
    const lost = lostFiles(this.#around);
    const known = lost.length > 0 || !this.#log.hasMark(store) ? new Set<string>() : undefined;
    // A mark in a log that was brought back may fit again once all is taken in: what is new before it would not be told.
    if (known) this.#log.forgetMark();
    else while (this.#log.next(store)) await setImmediate();
    const { shelf } = this.#around.shared.look();
    const isReplaced = replacedOn(shelf);
    for (const [id, segment] of this.#news(shelf, known !== undefined)) {
      const { writer, number } = segment;
      const batch = this.#takeIn(store, id, segment, known === undefined);
      // What is going to be swept away is as good as gone.
      if (batch && known && !isReplaced(writer, number))
        for (const name of namesIn(batch, writer)) known.add(name);
      await setImmediate();
    }
    noteStoodFor(this.#around, shelf);
    if (known) await this.#log.all(store, known);
    // A machine that was left or let its folder go meanwhile stays as it is.
    if (this.#ready() !== store) return NOTHING_CAME;
    await this.#purge.run(this.#person, (facts) => this.#told(facts));
    if (this.#ready() !== store) return NOTHING_CAME;
    if (known) this.#tellWritesAgain(known);
    if (lost.length > 0) this.#noteTold(lost);
    const here = this.#valuesHere();
    if (this.#around.kept.keysHere().length === 0) this.#settling.adopt(here);
    this.#tellValues(here);
    this.#gather();
    return { passes: countOf(store) - passes, ...this.#settling.settle() };
  }

  /** But what is about people who were removed for good. */
  #valuesHere(): ReadonlyMap<string, Value> {
    const here = [...this.#settling.valuesHere()];
    return new Map(here.filter(([key]) => !this.#purge.isAbout(key)));
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

  /** What stood in them was told again: nobody has to wait for them. */
  #noteTold(lost: readonly Lost[]): void {
    const again = lost.filter(({ wasTold }) => !wasTold).map(({ file }) => file);
    if (again.length > 0) this.#told([], OWN_DESK, again);
    noteTold(this.#around, lost);
  }

  /** Puts facts that are kept here already. */
  #told(facts: readonly Fact[], desk: string = OWN_DESK, again: readonly FileOf[] = []): void {
    this.#around.kept.wrote(this.#put(facts, desk, again));
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
    const person = this.#person;
    const leftOver = tellLeftOver(
      {
        ...{ shared, kept, left: (batch) => this.#purge.left(batch) },
        tell: (facts, desk) => this.#told(facts, desk),
      },
      person,
    );
    shared.sweep((id) => leftOver.has(id));
    kept.tookAway(leftOver);
    const small = shared
      .smallBatches()
      .filter(([, { batch }]) => batch!.person === person && batch!.machine === this.#machine);
    // Each desk keeps a file of its own: where there are many desks there is nothing to be won.
    const desks = Map.groupBy(small, ([, { batch }]) => batch!.desk);
    if (small.length - desks.size < many) return;
    const batches: Batch[] = [];
    for (const [desk, those] of desks) {
      const facts = those.flatMap(([id]) => shared.batch(id)?.facts ?? []);
      const head = { person, machine: this.#machine, ...(desk === undefined ? {} : { desk }) };
      batches.push(...gathered(facts).map((some) => ({ ...head, facts: some })));
    }
    if (batches.length === 0 || small.length - batches.length < many / 2) return;
    const merged = shared.merge(
      batches.map((batch) => ({ batch })),
      small,
    );
    if (!merged.ok) throw new Error(merged.problems[0]!.message);
    if (merged.value.length === 0) return;
    kept.run(() => {
      merged.value.forEach((file) => kept.wrote(file));
      kept.tookAway(small.map(([id]) => id));
    });
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
    const whole = shared.batch(id);
    if (!whole) return undefined;
    const batch = { ...whole, facts: this.#purge.left(whole) };
    const entries = entriesOfFacts(batch.facts);
    const { desk = OWN_DESK } = batch;
    const logged = entries.length > 0 && tells;
    // What was played meanwhile is told first: all that is in the log after this came from others.
    if (logged) while (this.#log.next(store));
    if (entries.length > 0) store.write(desk, entries);
    const writes = writesIn(batch.facts, writer, batch.machine);
    kept.run(() => {
      if (logged) this.#log.markEnd(store);
      kept.join(writes);
      kept.applied({ hash: id, writer, number });
    });
    return batch;
  }

  /** Tells the values that were changed here since they were last looked at. */
  #tellValues(here: ReadonlyMap<string, Value>): void {
    const { kept, shared } = this.#around;
    const turn = kept.lastTurn + 1;
    const { writer } = shared.memory.place('');
    const facts = this.#settling
      .changed(here)
      .map(({ key, value, over }): Extract<Fact, { kind: 'value' }> => {
        const by = { writer: nameWithSum(writer, value), machine: this.#machine };
        return { kind: 'value', key, value, turn, by, ...(over === undefined ? {} : { over }) };
      });
    for (const group of inFiles(facts)) {
      const told = this.#put(group);
      const writes = writesIn(group, told.writer, this.#machine);
      kept.run(() => {
        // Not before: where the program ends in between, it finds out by the file what it has told.
        kept.wrote(told);
        kept.join(writes);
        for (const write of writes)
          kept.setHere(write.key, { hash: hashOf(write.value), id: idOf(write) });
      });
    }
  }
}

const countOf = ({ database }: LogStore): number =>
  (prepared(database, 'select count(*) as n from passes').get() as { n: number }).n;
