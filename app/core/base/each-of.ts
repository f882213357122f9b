// One value for each name of a closed list.

/** @param names each once */
export const eachOf = <K extends string, T>(
  names: readonly K[],
  of: (name: K) => T,
): Record<K, T> => Object.fromEntries(names.map((name) => [name, of(name)])) as Record<K, T>;
