// The output the player hears the program through: the choice that the settings hold, and what can be chosen.
import type { Messages } from '../messages/messages.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import type { Sound } from './sound.svelte.ts';

interface OutputAround {
  readonly messages: Messages;
  readonly settings: PlayerSettings;
  readonly sound: Sound;
}

const outputs = () => import('../../audio/outputs.ts');

export class SoundOutput {
  readonly #around: OutputAround;
  #names = $state.raw<readonly string[]>([]);

  constructor(around: OutputAround) {
    this.#around = around;
  }

  /** What can be chosen, with the choice itself even while it is unplugged. */
  get names(): readonly string[] {
    const { outputDevice } = this.#around.settings.now;
    const known = this.#names.includes(outputDevice) || outputDevice === '';
    return known ? this.#names : [outputDevice, ...this.#names];
  }

  /** Looks for outputs now and whenever one comes or goes; returns the function that stops looking. */
  watch = (): (() => void) => {
    const look = async (): Promise<void> => {
      this.#names = await (await outputs()).listOutputs();
    };
    void look();
    const media = navigator.mediaDevices as MediaDevices | undefined;
    media?.addEventListener('devicechange', look);
    return () => media?.removeEventListener('devicechange', look);
  };

  choose = async (outputDevice: string): Promise<void> => {
    await this.#around.settings.write({ outputDevice });
    const context = (await this.#around.sound.player()).context();
    if (!context) return;
    const sent = await (await outputs()).sendTo(context, outputDevice);
    if (!sent.ok) this.#around.messages.refuse(sent.problems);
  };

  test = async (): Promise<void> => {
    const context = (await this.#around.sound.open())?.context();
    if (context) (await outputs()).testTone(context, this.#around.sound.levels.master);
  };
}
