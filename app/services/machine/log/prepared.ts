// Statements that are asked again and again, made ready once for each database.
import type { DatabaseSync, StatementSync } from 'node:sqlite';

/** More are not kept for one database; what is asked differs in a few ways only. */
const MOST = 200;
const known = new WeakMap<DatabaseSync, Map<string, StatementSync>>();

/** Not for a statement whose rows are still being walked through. @param sql With every value as a parameter. */
export function prepared(database: DatabaseSync, sql: string): StatementSync {
  const statements = known.get(database) ?? new Map<string, StatementSync>();
  known.set(database, statements);
  const ready = statements.get(sql);
  if (ready) return ready;
  const made = database.prepare(sql);
  if (statements.size >= MOST) statements.clear();
  statements.set(sql, made);
  return made;
}
