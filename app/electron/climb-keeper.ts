// Is a climb under way? The display and the window's speed hang on it, and it ends with the page that climbed.
import type { BrowserWindow } from 'electron';
import { powerSaveBlocker } from 'electron';

/** After a pause of this long the player has gone: the display may sleep. Milliseconds; ours, no source. */
const LONGEST_PAUSE = 60_000;

export class ClimbKeeper {
  readonly #windows: () => readonly BrowserWindow[];
  #underWay = false;
  #blocker: number | undefined;
  #patience: NodeJS.Timeout | undefined;

  /** @param windows Those whose speed is kept while climbing. */
  constructor(windows: () => readonly BrowserWindow[]) {
    this.#windows = windows;
  }

  /** Has a climb begun that is neither finished nor left? */
  get underWay(): boolean {
    return this.#underWay;
  }

  /** What the page says of its climb. Said twice, done once. */
  tell = ({ on, paused }: { readonly on: boolean; readonly paused: boolean }): void => {
    clearTimeout(this.#patience);
    this.#underWay = on;
    if (on && !paused) this.#stayAwake();
    else if (!on) this.#rest();
    else this.#patience = setTimeout(this.#rest, LONGEST_PAUSE);
  };

  /** The page has gone, by closing, reloading or a crash. */
  end = (): void => this.tell({ on: false, paused: false });

  #stayAwake(): void {
    for (const { webContents } of this.#windows()) webContents.setBackgroundThrottling(false);
    this.#blocker ??= powerSaveBlocker.start('prevent-display-sleep');
  }

  #rest = (): void => {
    if (this.#blocker === undefined) return;
    powerSaveBlocker.stop(this.#blocker);
    this.#blocker = undefined;
    for (const { webContents } of this.#windows()) {
      if (!webContents.isDestroyed()) webContents.setBackgroundThrottling(true);
    }
  };
}
