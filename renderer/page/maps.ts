// Maps that are replaced, never changed: what shows them is drawn anew when they are.

export const NO_ENTRIES: ReadonlyMap<never, never> = new Map<never, never>();

/** A map that nobody changes. */
export const mapOf = <K, V>(entries: Iterable<readonly [K, V]>): ReadonlyMap<K, V> =>
  new Map(entries);

/** A copy with this entry added or replaced. */
export const withEntry = <K, V>(map: ReadonlyMap<K, V>, key: K, value: V): ReadonlyMap<K, V> =>
  new Map([...map, [key, value]]);

/** A copy without this entry. */
export const withoutEntry = <K, V>(map: ReadonlyMap<K, V>, key: K): ReadonlyMap<K, V> =>
  new Map([...map].filter(([other]) => other !== key));
