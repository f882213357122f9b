// Which room is open, kept in the address (`#/charts/ID/edit`) so that reload and history work; the last room is remembered.
import type { Memory } from '../../page/memory.ts';
import { readHash, writeHash } from './address.ts';

const MEMORY = 'rungwise.place';

export interface RoomProps {
  /** What follows the room's id in the address: `#/charts/ID/edit` gives ['ID', 'edit']. */
  readonly path: readonly string[];
}

export class Router {
  readonly #memory: Memory;
  #parts = $state.raw<readonly string[]>([]);
  readonly room: string | undefined = $derived(this.#parts[0]);
  /** What the room makes of the rest of the address. */
  readonly path: readonly string[] = $derived(this.#parts.slice(1));

  constructor(memory: Memory) {
    this.#memory = memory;
  }

  /** Follows the address from now on; returns the function that stops following. */
  start = (): (() => void) => {
    if (readHash(location.hash).length === 0) {
      location.replace(this.#memory.getItem(MEMORY) ?? '#/');
    }
    const follow = () => {
      const parts = readHash(location.hash);
      this.#parts = parts;
      if (parts.length > 0) this.#memory.setItem(MEMORY, location.hash);
    };
    follow();
    addEventListener('hashchange', follow);
    return () => removeEventListener('hashchange', follow);
  };

  go = (room: string, ...path: string[]): void => {
    location.hash = writeHash([room, ...path]);
  };

  /** Changes the address without a step back in history (a selection inside a room). */
  replace = (room: string, ...path: string[]): void => {
    const hash = writeHash([room, ...path]);
    history.replaceState(null, '', hash);
    this.#parts = readHash(hash);
    this.#memory.setItem(MEMORY, hash);
  };
}
