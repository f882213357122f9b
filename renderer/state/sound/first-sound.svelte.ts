// Holds the first sound back until the words about starting quiet and about pain were read, once per player.
import type { PlayerSettings } from '../settings/settings.svelte.ts';

const SHOWN = 'care-before-first-sound';

export class FirstSound {
  readonly #settings: PlayerSettings;
  open = $state(false);
  #waiting: (() => void) | undefined;

  constructor(settings: PlayerSettings) {
    this.#settings = settings;
  }

  /** Runs `sound` at once if the words were read before, else after they are accepted, from that key or click. */
  before = (sound: () => void): void => {
    if (this.#settings.wasShown(SHOWN)) return sound();
    this.#waiting = sound;
    this.open = true;
  };

  accept = (): void => {
    this.open = false;
    const sound = this.#waiting;
    this.#waiting = undefined;
    void this.#settings.markShown(SHOWN);
    sound?.();
  };

  decline = (): void => {
    this.#waiting = undefined;
  };
}
