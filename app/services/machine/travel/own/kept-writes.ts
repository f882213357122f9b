// What this machine knows of the values that its player's machines set, and how far each has come; in a file of its own.
// All in it can be found anew in the shared folder: where it is lost or spoilt it begins empty.
import fs from 'node:fs';
import { DatabaseSync, type StatementSync } from 'node:sqlite';
import type { Json } from '../../../../core/exchange/shared/facts.ts';
import type { Write } from '../../../../core/exchange/shared/writes.ts';
import { writeAnew } from '../../log/forget-desks.ts';
import { inTransaction } from '../../log/log-schema.ts';
import { isDamage } from '../../log/log-store.ts';
import { filesOf } from '../../log/open-log.ts';
import { writesFile } from '../../shared/memory.ts';
import { attempt } from '../../store/durable.ts';
import { KeptPosted } from './kept-posted.ts';
import type { FileOf, Written } from '../../shared/own-files.ts';
import type { KeptHeads, ReadHead } from '../../shared/shelf-reader.ts';

const FORM = `
  create table if not exists about (name text primary key, value text not null) without rowid;
  create table if not exists writes (
    key text not null, turn integer not null, writer text not null, machine text not null,
    over text, value text, primary key (key, turn, writer, value)) ;
  create table if not exists here (key text primary key, hash text not null, id text) without rowid;
  create table if not exists told (
    hash text primary key, writer text not null, number integer not null) without rowid;
  create index if not exists by_writer on told (writer, number);
  create table if not exists wrote (hash text primary key) without rowid;
  create table if not exists missed (
    writer text not null, number integer not null, looks integer not null,
    primary key (writer, number)) without rowid;
  create table if not exists clear (hash text primary key) without rowid;
  drop table if exists applied;
  create table if not exists heads (file text primary key, head text not null) without rowid;
`;

/** A value as it stood here when it was last looked at, and the write it comes from. */
export interface Here {
  readonly hash: string;
  readonly id: string | undefined;
}

interface WriteRow {
  readonly key: string;
  readonly turn: number;
  readonly writer: string;
  readonly machine: string;
  readonly over: string | null;
  readonly value: string | null;
}

export class KeptWrites {
  readonly #database: DatabaseSync;
  /** Keys whose standing is to be looked at; all of them after a start. */
  #touched: Set<string>;
  readonly heads: KeptHeads;
  readonly posted: KeptPosted;
  readonly #statements = new Map<string, StatementSync>();
  /** Files whose numbers were looked at in this run. */
  readonly #looked = new Set<string>();

  constructor(database: DatabaseSync) {
    // What is deleted is written over, not only let go.
    database.exec('pragma secure_delete = on');
    database.exec(FORM);
    this.#database = database;
    this.#touched = new Set(this.#keys('writes'));
    this.heads = headsIn(this.#database);
    this.posted = new KeptPosted(this.#database);
  }

  /** Begins anew where these are another player's machines. */
  of(person: string): void {
    if (this.about('person') === person) return;
    this.run(() => {
      for (const table of ['about', 'writes', 'here', 'told', 'wrote', 'missed', 'clear'])
        this.#database.exec(`delete from ${table}`);
      this.setAbout('person', person);
    });
    this.#touched = new Set();
    this.#looked.clear();
  }

  about(name: string): string | undefined {
    const row = this.#prepared('select value from about where name = ?').get(name);
    return (row as { value: string } | undefined)?.value;
  }
  setAbout(name: string, value: string): void {
    this.#prepared('insert or replace into about values (?, ?)').run(name, value);
  }

  /** All or nothing. */
  run<T>(work: () => T): T {
    return this.#database.isTransaction ? work() : inTransaction(this.#database, work);
  }

  isApplied = (hash: string): boolean =>
    this.#prepared('select 1 from told where hash = ?').get(hash) !== undefined;
  /** All that stands in this file is known here. */
  applied({ hash, writer, number }: Written): void {
    this.#prepared('insert or ignore into told values (?, ?, ?)').run(hash, writer, number);
  }
  /** With this file, by its hash, nothing is to be found any more in these. Asked once in a run. */
  appliedWith(hash: string, those: () => readonly FileOf[]): void {
    if (this.#looked.has(hash)) return;
    this.#looked.add(hash);
    for (const { writer, number } of those())
      this.applied({ hash: `${writer} ${number}`, writer, number });
  }
  /** Where one of these comes, it is read once more. */
  forgetFiles(those: readonly Written[]): void {
    const forget = this.#prepared('delete from told where hash = ?');
    for (const { hash } of those) forget.run(hash);
    this.tookAway(those.map(({ hash }) => hash));
  }
  /** As {@link applied}, of a file that was written here. */
  wrote(file: Written): void {
    this.run(() => {
      this.applied(file);
      this.#prepared('insert or ignore into wrote values (?)').run(file.hash);
    });
  }
  /** The hashes of files that were written here and not taken away. */
  get own(): ReadonlySet<string> {
    const rows = this.#prepared('select hash from wrote').all();
    return new Set((rows as unknown as { hash: string }[]).map(({ hash }) => hash));
  }
  /** What stood in these is seen to stand elsewhere. */
  tookAway(hashes: Iterable<string>): void {
    const take = this.#prepared('delete from wrote where hash = ?');
    for (const hash of hashes) take.run(hash);
  }
  /** Every file whose content is known here, also those that are gone. */
  get files(): readonly Written[] {
    const rows = this.#prepared('select hash, writer, number from told').all();
    return rows as unknown as readonly Written[];
  }

  /** Those who wrote them. */
  get writers(): readonly string[] {
    const rows = this.#prepared('select distinct writer from told').all();
    return (rows as unknown as { writer: string }[]).map(({ writer }) => writer);
  }

  /** Counts one more look at which these were not there; any other begins anew when it is missed next. */
  missed(those: readonly FileOf[]): readonly (FileOf & { readonly looks: number })[] {
    const before = this.#prepared('select looks from missed where writer = ? and number = ?');
    const counted = those.map(({ writer, number }) => {
      const row = before.get(writer, number) as { looks: number } | undefined;
      return { writer, number, looks: (row?.looks ?? 0) + 1 };
    });
    const any = this.#prepared('select 1 from missed limit 1').get() !== undefined;
    if (any || counted.length > 0)
      this.run(() => {
        this.#database.exec('delete from missed');
        const insert = this.#prepared('insert into missed values (?, ?, ?)');
        for (const { writer, number, looks } of counted) insert.run(writer, number, looks);
      });
    return counted;
  }

  /** Takes out what is known under such keys, and of such desks. Every file is to be looked through again. */
  forget(isIt: (key: string) => boolean, ofDesk: (desk: string) => boolean): void {
    this.run(() => {
      for (const table of ['writes', 'here'] as const)
        for (const key of this.#keys(table).filter(isIt)) {
          this.#prepared(`delete from ${table} where key = ?`).run(key);
          this.#touched.delete(key);
        }
      this.#forgetHeads(ofDesk);
      this.#database.exec('delete from clear');
    });
    writeAnew(this.#database);
  }

  #forgetHeads(ofDesk: (desk: string) => boolean): void {
    const heads = this.#prepared('select file, head from heads').all();
    for (const { file, head } of heads as unknown as { file: string; head: string }[]) {
      const read = headIn(head);
      if (!read || studentsIn(read).some(ofDesk))
        this.#prepared('delete from heads where file = ?').run(file);
    }
  }

  /** A file of this machine in which nothing stands of anybody who was removed for good. */
  isClear = (hash: string): boolean =>
    this.#prepared('select 1 from clear where hash = ?').get(hash) !== undefined;
  setClear(hash: string): void {
    this.#prepared('insert or ignore into clear values (?)').run(hash);
  }

  /**
   * Joins the writes to those that are known: each once, in any order. Where a data folder and its copy told the same one,
   * and only one knew what it was set over, that is kept.
   */
  join(writes: readonly Write[]): void {
    const insert = this.#prepared(
      `insert into writes (key, turn, writer, machine, over, value) values (?, ?, ?, ?, ?, ?)
         on conflict (key, turn, writer, value) do update set over = excluded.over
         where excluded.over > coalesce(over, '')`,
    );
    for (const one of writes) {
      const { key, turn, writer, machine, over = null, value } = one;
      insert.run(key, turn, writer, machine, over, JSON.stringify(value));
      this.#touched.add(key);
    }
  }

  writesOf(key: string): readonly Write[] {
    const rows = this.#prepared('select * from writes where key = ?').all(key);
    return (rows as unknown as WriteRow[]).map(writeOf);
  }
  /** Of all keys. */
  get writes(): readonly Write[] {
    const rows = this.#prepared('select * from writes order by key, turn, writer').all();
    return (rows as unknown as WriteRow[]).map(writeOf);
  }

  get lastTurn(): number {
    const row = this.#prepared('select max(turn) as turn from writes').get();
    return (row as { turn: number | null }).turn ?? 0;
  }

  get touched(): ReadonlySet<string> {
    return this.#touched;
  }
  settled(keys: Iterable<string>): void {
    for (const key of keys) this.#touched.delete(key);
  }

  here(key: string): Here | undefined {
    const row = this.#prepared('select hash, id from here where key = ?').get(key);
    if (!row) return undefined;
    const { hash, id } = row as { hash: string; id: string | null };
    return { hash, id: id ?? undefined };
  }
  setHere(key: string, { hash, id }: Here): void {
    this.#prepared('insert or replace into here values (?, ?, ?)').run(key, hash, id ?? null);
  }
  keysHere = (): readonly string[] => this.#keys('here');
  /** Keys with writes whose text begins so. */
  keysBeginning(start: string): readonly string[] {
    const rows = this.#prepared('select distinct key from writes where key >= ? and key < ?').all(
      start,
      `${start}\u{10ffff}`,
    );
    return (rows as unknown as { key: string }[]).map(({ key }) => key);
  }

  close(): void {
    if (this.#database.isOpen) this.#database.close();
  }

  /** Each is made ready once. */
  #prepared(sql: string): StatementSync {
    const known = this.#statements.get(sql);
    if (known) return known;
    const made = this.#database.prepare(sql);
    this.#statements.set(sql, made);
    return made;
  }

  #keys(table: 'writes' | 'here'): readonly string[] {
    const rows = this.#prepared(`select distinct key from ${table}`).all();
    return (rows as unknown as { key: string }[]).map(({ key }) => key);
  }
}

/** Undefined where it cannot be read any more: then its file is read. */
const headIn = (text: string): ReadHead | undefined =>
  attempt(() => {
    const head = JSON.parse(text) as ReadHead;
    return typeof head.hash === 'string' && typeof head.segment.writer === 'string'
      ? head
      : undefined;
  });

/** Whom a head names. */
export const studentsIn = ({ segment: { batch, recording } }: ReadHead): readonly string[] =>
  [batch?.desk, recording?.student].filter((student) => student !== undefined);

const writeOf = ({ over, value, ...row }: WriteRow): Write => ({
  ...row,
  value: JSON.parse(value ?? 'null') as Json,
  ...(over === null ? {} : { over }),
});

function headsIn(database: DatabaseSync): KeptHeads {
  const get = database.prepare('select head from heads where file = ?');
  const set = database.prepare('insert or replace into heads values (?, ?)');
  return {
    get: (key) => {
      const row = get.get(key) as { head: string } | undefined;
      return row && headIn(row.head);
    },
    set: (key, head) => void set.run(key, JSON.stringify(head)),
  };
}

/** @param directory the data folder. @throws where the disk refuses */
export const openKeptWrites = (directory: string): KeptWrites =>
  new KeptWrites(open(writesFile(directory)));

/** All of it can be read anew: what is damaged is made anew, and what cannot be opened now is held in memory. */
function open(file: string): DatabaseSync {
  try {
    return openSound(file);
  } catch (error) {
    return (isDamage(error) ? openAnew(file) : undefined) ?? openSound(':memory:');
  }
}

function openAnew(file: string): DatabaseSync | undefined {
  try {
    for (const one of filesOf(file)) fs.rmSync(one, { force: true });
    return openSound(file);
  } catch {
    return undefined;
  }
}

/** SQLITE_CORRUPT (sqlite.org/rescode.html). */
const CORRUPT = 11;

function openSound(file: string): DatabaseSync {
  const database = new DatabaseSync(file);
  try {
    database.exec('pragma journal_mode = wal; pragma synchronous = normal');
    database.exec(FORM);
    const [check] = Object.values(database.prepare('pragma quick_check(1)').get() ?? {});
    if (check !== 'ok') throw Object.assign(new Error(String(check)), { errcode: CORRUPT });
    return database;
  } catch (error) {
    database.close();
    throw error;
  }
}
