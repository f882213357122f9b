// The one player of this window, opened at the first sound, and the levels it plays at.
import type { Seconds } from '../../../app/core/base/units.ts';
import type { Player, VoiceLevels } from '../../audio/player.ts';
import { QUIET_LEVELS } from '../../audio/player.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';

interface SoundAround {
  readonly messages: Messages;
  readonly settings: PlayerSettings;
}

export class Sound {
  readonly #around: SoundAround;
  #player: Promise<Player> | undefined;
  #moving = $state<Partial<VoiceLevels>>({});
  outputLatency = $state<Seconds>();
  /** Which context was sent to which output; a new context begins at the system's usual one. */
  #sent: { readonly context: AudioContext; readonly to: string } | undefined;

  /** As set, with what a slider is just moving on top. */
  readonly levels: VoiceLevels = $derived.by(() => {
    const { levels, masterLevel: master } = this.#around.settings.now;
    return { ...QUIET_LEVELS, ...levels, master, ...this.#moving };
  });

  constructor(around: SoundAround) {
    this.#around = around;
  }

  /** Loads the audio code when first asked; the context opens only with {@link Player.open}. */
  player = (): Promise<Player> => {
    this.#player ??= import('../../audio/live-player.ts').then(({ createPlayer }) =>
      createPlayer(),
    );
    return this.#player;
  };

  /** Opens the audio from a key or click, at the levels set; false after saying why it can't. */
  open = async (): Promise<Player | undefined> => {
    const player = await this.player();
    const opened = await player.open();
    if (!opened.ok) {
      this.#around.messages.refuse(opened.problems);
      return undefined;
    }
    player.setLevels(this.levels);
    await this.#sendOut(player);
    this.outputLatency = player.context()?.outputLatency;
    return player;
  };

  /** To the output that was chosen; one that is not there is named once for each time the sound is opened anew. */
  async #sendOut(player: Player): Promise<void> {
    const { outputDevice } = this.#around.settings.now;
    const context = player.context();
    const sentTo = this.#sent?.context === context ? this.#sent?.to : '';
    if (!context || outputDevice === sentTo) return;
    this.#sent = { context, to: outputDevice };
    const { sendTo } = await import('../../audio/outputs.ts');
    const sent = await sendTo(context, outputDevice);
    if (!sent.ok) this.#around.messages.refuse(sent.problems);
  }

  /** A slider is moving: heard at once, kept when it is let go. */
  preview = (voice: keyof VoiceLevels, level: number): void => {
    this.#moving = { ...this.#moving, [voice]: level };
    void this.#player?.then((player) => player.setLevels(this.levels));
  };
}
