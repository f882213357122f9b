// What is loaded when it is first asked for, and once.

/** After a failure whoever asks next tries again. */
export class LoadedOnce<T> {
  readonly #load: () => Promise<T>;
  #loading: Promise<T> | undefined;

  constructor(load: () => Promise<T>) {
    this.#load = load;
  }

  /** Was it asked for, and has not failed? */
  get asked(): boolean {
    return this.#loading !== undefined;
  }

  /** Fails as the loading does. */
  get = (): Promise<T> => this.#loading ?? this.#begin();

  /** Loads it anew where it was asked for. */
  again = async (): Promise<void> => {
    if (this.asked) await this.#begin();
  };

  #begin(): Promise<T> {
    const loading = this.#load().catch((error: unknown) => {
      if (this.#loading === loading) this.#loading = undefined;
      throw error;
    });
    return (this.#loading = loading);
  }
}
