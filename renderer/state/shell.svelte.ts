// What the shell around the rooms is doing: full window or not, and the keys that the sheet of keys lists.
import { untrack } from 'svelte';

export interface KeyLine {
  /** Alternatives, each a list of keys held together: [['Alt', '1'], ['↑']]. */
  readonly keys: readonly (readonly string[])[];
  readonly does: string;
}

export interface KeyGroup {
  readonly title: string;
  readonly lines: readonly KeyLine[];
}

class Shell {
  /** A stage takes the whole window: the rail of rooms and passing remarks step aside. */
  fullWindow = $state(false);
  sheetOpen = $state(false);
  #groups = $state.raw<readonly KeyGroup[]>([]);

  get keyGroups(): readonly KeyGroup[] {
    return this.#groups;
  }

  /** Lists a room's keys on the sheet. Return its result from an `$effect` to take them off again. */
  showKeys = (group: KeyGroup): (() => void) => {
    // Untracked: the effect that lists its keys must not run again because the list grew.
    untrack(() => (this.#groups = [...this.#groups, group]));
    return () => untrack(() => (this.#groups = this.#groups.filter((g) => g !== group)));
  };
}

export const shell = new Shell();
