// What the shell around the rooms is doing: full window or not, and the keys that the sheet of keys lists.
import { untrack } from 'svelte';
import type { Messages } from '../messages/messages.svelte.ts';

export interface KeyLine {
  /** Alternatives, each a list of keys held together: [['Alt', '1'], ['↑']]. */
  readonly keys: readonly (readonly string[])[];
  readonly does: string;
}

export interface KeyGroup {
  readonly title: string;
  readonly lines: readonly KeyLine[];
}

export class Shell {
  readonly #messages: Messages;
  /** A stage takes the whole window: the rail of rooms and passing remarks step aside. */
  fullWindow = $state(false);
  /** The stage shows passing remarks itself, in its head, where they cover nothing that is read in time. */
  ownRemarks = $state(false);
  sheetOpen = $state(false);
  #printer: (() => void) | undefined;
  #groups = $state.raw<readonly KeyGroup[]>([]);

  constructor(messages: Messages) {
    this.#messages = messages;
  }

  get keyGroups(): readonly KeyGroup[] {
    return this.#groups;
  }

  /** A room that has something for paper says how; return its result from an `$effect`. */
  offerPrint = (print: () => void): (() => void) => {
    this.#printer = print;
    return () => {
      if (this.#printer === print) this.#printer = undefined;
    };
  };

  /** Prints what the open room offers, or says where there is something to print. */
  print = (): void => {
    if (this.#printer) this.#printer();
    else
      this.#messages.say('There is nothing for paper here. Open a chart, then its lesson sheet.');
  };

  /** Lists a room's keys on the sheet. Return its result from an `$effect` to take them off again. */
  showKeys = (group: KeyGroup): (() => void) => {
    // Untracked: the effect that lists its keys must not run again because the list grew.
    untrack(() => (this.#groups = [...this.#groups, group]));
    return () => untrack(() => (this.#groups = this.#groups.filter((g) => g !== group)));
  };
}
