// The player's settings as the view holds them: shown at once, written behind, read back as the machine keeps them.
import type { Services, Settings, SettingsPatch } from '../../../app/services/contract/contract.ts';
import type { Messages } from '../messages/messages.svelte.ts';

interface SettingsAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
}

export class PlayerSettings {
  readonly #around: SettingsAround;
  #now = $state.raw<Settings>();

  constructor(around: SettingsAround) {
    this.#around = around;
  }

  get ready(): boolean {
    return this.#now !== undefined;
  }

  /** @throws Error before {@link load} has ended: the shell shows no room until then. */
  get now(): Settings {
    if (!this.#now) throw new Error('settings: read before they were loaded');
    return this.#now;
  }

  load = async (): Promise<void> => {
    const read = await this.#around.services.call('settings.read', {});
    this.#now = read.settings;
    this.#around.messages.refuse(read.problems);
  };

  write = async (patch: SettingsPatch): Promise<void> => {
    this.#now = { ...this.now, ...patch };
    const read = await this.#around.services.call('settings.write', { patch });
    this.#now = read.settings;
  };

  /** Were these words of care or help shown already? */
  wasShown = (name: string): boolean => this.now.shown.includes(name);

  markShown = async (name: string): Promise<void> => {
    if (!this.wasShown(name)) await this.write({ shown: [...this.now.shown, name] });
  };
}
