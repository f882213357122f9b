// Holds the first sound back until the words about starting quiet and about pain were read, once per player.
import { settings } from '../settings.svelte.ts';

const SHOWN = 'care-before-first-sound';

class FirstSound {
  open = $state(false);
  #waiting: (() => void) | undefined;

  /** Runs `sound` at once if the words were read before, else after they are accepted, from that key or click. */
  before = (sound: () => void): void => {
    if (settings.wasShown(SHOWN)) return sound();
    this.#waiting = sound;
    this.open = true;
  };

  accept = (): void => {
    this.open = false;
    const sound = this.#waiting;
    this.#waiting = undefined;
    void settings.markShown(SHOWN);
    sound?.();
  };

  decline = (): void => {
    this.#waiting = undefined;
  };
}

export const firstSound = new FirstSound();
