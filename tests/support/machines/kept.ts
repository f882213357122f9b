// All that a machine would find on its disk after a start, and copies of it.
import { DatabaseSync } from 'node:sqlite';
import { madeOnce } from '../../../app/core/base/remembered.ts';
import type { Json } from '../../../app/core/exchange/shared/facts.ts';
import { migrate } from '../../../app/services/machine/log/log-schema.ts';
import { type KeptList, noStudents } from './teachers-desk.ts';

export interface Kept {
  readonly log: DatabaseSync;
  readonly identity: string;
  readonly writes: DatabaseSync;
  readonly values: Map<string, Json>;
  readonly list: KeptList;
}

export interface CopyOfKept extends Omit<Kept, 'log' | 'writes'> {
  readonly log: Uint8Array;
  readonly writes: Uint8Array;
}

const emptyLog = madeOnce(() => {
  const database = new DatabaseSync(':memory:');
  migrate(database);
  return database.serialize();
});
export const newLog = (): DatabaseSync => databaseOf(emptyLog());

export const newKept = (identity: string): Kept => ({
  ...{ log: newLog(), identity },
  ...{ writes: new DatabaseSync(':memory:'), values: new Map(), list: noStudents() },
});

export const copyOf = ({ log, writes, identity, values, list }: Kept): CopyOfKept => ({
  ...{ identity, values: new Map(values), list: { ...list } },
  ...{ log: log.serialize(), writes: writes.serialize() },
});

/** As it was when the copy was made; the copy stays. */
export const keptFrom = ({ log, writes, identity, values, list }: CopyOfKept): Kept => ({
  ...{ identity, values: new Map(values), list: { ...list } },
  ...{ log: databaseOf(log), writes: databaseOf(writes) },
});

export function databaseOf(bytes: Uint8Array): DatabaseSync {
  const database = new DatabaseSync(':memory:');
  database.deserialize(bytes);
  return database;
}
