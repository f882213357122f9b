// Sets that are replaced, never changed, so that what is drawn from them follows.

/** A set that nobody changes. */
export const setOf = <T>(...items: readonly T[]): ReadonlySet<T> => new Set(items);

/** With the item where it was not, without it where it was. */
export function toggled<T>(set: ReadonlySet<T>, item: T): ReadonlySet<T> {
  const next = new Set(set);
  if (!next.delete(item)) next.add(item);
  return next;
}
