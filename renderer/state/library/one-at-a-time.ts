// Work of which one at a time is enough for each name: whoever asks meanwhile waits for the same answer.

export class OneAtATime<T> {
  readonly #running = new Map<string, Promise<T>>();

  run(name: string, work: () => Promise<T>): Promise<T> {
    const running = this.#running.get(name) ?? work().finally(() => this.#running.delete(name));
    this.#running.set(name, running);
    return running;
  }
}
