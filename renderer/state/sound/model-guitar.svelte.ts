// The model guitar of this window: plays a unit once for listening, and is stopped.
import { bandOf } from '../../../app/core/band/band.ts';
import type { ChartShape } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { StringNote } from '../../../app/core/sound/strum-notes.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { Bpm } from '../../../app/core/base/units.ts';
import type { Player } from '../../audio/player.ts';
import { type ModelChoice, playedBy } from './model-sound.ts';
import type { Sound } from './sound.svelte.ts';

interface Listening {
  readonly bpm: Bpm;
  readonly choice: ModelChoice;
  /** With drums and bass, too? */
  readonly band?: boolean;
}

export class ModelGuitar {
  readonly #sound: Sound;
  #player: Player | undefined;
  #ending: ReturnType<typeof setTimeout> | undefined;
  listening = $state(false);

  constructor(sound: Sound) {
    this.#sound = sound;
  }

  /** Plays the unit once after a bar of count-in; listening is no practice and is not logged. */
  listen = async (
    unit: Unit,
    shapes: readonly ChartShape[],
    { bpm, choice, band = false }: Listening,
  ): Promise<void> => {
    const player = await this.#sound.open();
    if (!player) return;
    this.stop();
    const lap = buildLap(unit, bpm, { ...BARE_LAP, countIn: 'one', restBars: 1 });
    const played = playedBy(unit, shapes, choice)(lap, 0);
    await Promise.all([player.prepare(played.model ?? NO_NOTES), band && player.prepareBand()]);
    const { endsAt } = player.schedule(lap, player.earliest(), {
      click: 'count-in',
      ...played,
      ...(band && { band: bandOf(unit, lap) }),
    });
    this.#player = player;
    this.listening = true;
    this.#ending = setTimeout(this.stop, (endsAt - player.now()) * 1000);
  };

  stop = (): void => {
    clearTimeout(this.#ending);
    this.#player?.stop();
    this.#player = undefined;
    this.listening = false;
  };
}

const NO_NOTES: readonly StringNote[] = [];
