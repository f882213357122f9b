// Keeps what is costly to make and asked for again and again.

/** Values by their keys, each made once; with `most` of them it starts anew. */
export class Remembered<K, V> {
  readonly #known = new Map<K, V>();
  readonly #most: number;

  constructor(most: number) {
    this.#most = most;
  }

  /** @param make must depend on nothing but the key, and must not throw. */
  of(key: K, make: () => V): V {
    const known = this.#known.get(key);
    if (known !== undefined || this.#known.has(key)) return known as V;
    const made = make();
    if (this.#known.size >= this.#most) this.#known.clear();
    this.#known.set(key, made);
    return made;
  }
}

/** What a table is made of when it is first asked for, and once: a program that never asks starts without it. */
export function madeOnce<T extends object>(make: () => T): () => T {
  let made: T | undefined;
  return () => (made ??= make());
}
