// The one way to look a plain object up by a string from outside: `table['constructor']` finds nothing here.

/** The table's own entry of this name; undefined for names that every object inherits. */
export function own<T>(table: Readonly<Record<string, T>>, key: string): T | undefined {
  return Object.hasOwn(table, key) ? table[key] : undefined;
}
