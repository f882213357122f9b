// Those who hear of something a climb does: the ear of every lap, the voice of every effect.

export class Listeners<T> {
  readonly #all = new Set<(detail: T) => void>();

  /** Returns the function that ends the listening. */
  add(listener: (detail: T) => void): () => void {
    this.#all.add(listener);
    return () => this.#all.delete(listener);
  }

  tell(detail: T): void {
    for (const listener of this.#all) listener(detail);
  }
}
