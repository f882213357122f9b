// A program that dies after so many changes on its machine's disk.
import type { DatabaseSync } from 'node:sqlite';
import type { LogStore } from '../../../app/services/machine/log/log-store.ts';
import { KeptWrites } from '../../../app/services/machine/travel/own/kept-writes.ts';

/** Raised where the program dies. */
class Killed extends Error {}

export class Fuse {
  #left = Infinity;
  #isDead = false;

  get isDead(): boolean {
    return this.#isDead;
  }
  /** @param changes until it dies; what it does is done no more from then on */
  light(changes: number): void {
    this.#left = changes;
  }
  /** The program starts anew. */
  renew(): void {
    this.#left = Infinity;
    this.#isDead = false;
  }

  /** @throws Killed where the program is dead */
  check(): void {
    if (this.#isDead) throw new Killed();
  }
  /** One change more. @throws Killed where it is one too many */
  burn = (): void => {
    this.check();
    if (this.#left-- > 0) return;
    this.#isDead = true;
    throw new Killed();
  };
}

/** Dies before or after a transaction, never within one. */
export class FusedWrites extends KeptWrites {
  readonly #fuse: Fuse;
  constructor(database: DatabaseSync, fuse: Fuse) {
    super(database);
    this.#fuse = fuse;
  }
  override run<T>(work: () => T): T {
    this.#fuse.burn();
    const done = super.run(work);
    this.#fuse.burn();
    return done;
  }
}

/** Dies before or after what is written into the log. */
export function fusedLog(store: LogStore, fuse: Fuse): LogStore {
  const { write } = store;
  return Object.assign(store, {
    write: (...what: Parameters<typeof write>) => {
      fuse.burn();
      write(...what);
      fuse.burn();
    },
  });
}
