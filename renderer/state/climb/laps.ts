// The laps of one climb: built from its unit and options, each kind at each tempo once.
import type { Unit } from '../../../app/core/model/unit.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { followingOptions } from '../../../app/core/timeline/play-on.ts';
import type { CountIn, Lap, LapOptions } from '../../../app/core/timeline/model.ts';
import type { Bpm, Seconds } from '../../../app/core/base/units.ts';

export class LapMaker {
  readonly #unit: Unit;
  readonly #options: LapOptions;
  readonly #made = new Map<string, Lap>();

  constructor(unit: Unit, options: LapOptions, restBars: number) {
    this.#unit = unit;
    this.#options = { ...options, restBars };
  }

  /** A lap that begins out of silence, so never without a count-in where the unit is taken up again. */
  first(bpm: Bpm, fromBar: number): Lap {
    const { countIn } = this.#options;
    return this.#lap(bpm, fromBar > 0 && countIn === 'none' ? 'one' : countIn, fromBar);
  }

  /** A lap that follows another: in play-on without a count-in. */
  following(bpm: Bpm): Lap {
    return this.#lap(bpm, followingOptions(this.#options).countIn, 0);
  }

  /** Length of the whole unit at this tempo. */
  unitSeconds(bpm: Bpm): Seconds {
    const lap = this.following(bpm);
    return lap.unitEnd - lap.unitStart;
  }

  #lap(bpm: Bpm, countIn: CountIn, fromBar: number): Lap {
    const key = `${bpm} ${countIn} ${fromBar}`;
    const made = this.#made.get(key) ?? this.#build(bpm, countIn, fromBar);
    this.#made.set(key, made);
    return made;
  }

  #build(bpm: Bpm, countIn: CountIn, fromBar: number): Lap {
    const bars = this.#unit.bars.slice(fromBar);
    return buildLap({ ...this.#unit, bars }, bpm, { ...this.#options, countIn });
  }
}
