// How far back a unit's passes must be read so that earlier ones change nothing that is said of it on a day.
import type { IsoDate } from '../base/units.ts';
import { dateOfDay, dayNumber, localDate } from '../log/days.ts';
import type { LevelPass } from '../model/pass.ts';
import { LOOKED_BACK, MORE_THAN_A_LOOK } from './grounds.ts';
import { isJudged, REMEMBERED_DAYS } from './outcomes.ts';

/** What is looked at of each pass. */
type Looked = Pick<LevelPass, 'at' | 'duration' | 'verdict' | 'cold' | 'underrun'>;

/** Is asked pass by pass, from the newest on. */
export class LookBack {
  readonly #asOf: IsoDate;
  readonly #monthAgo: IsoDate;
  #day: IsoDate | undefined;
  #found = { warm: false, cold: false, seconds: 0 };
  /** Days that hold a warm pass which counts, and a cold one; and whether one was more than a look. */
  #days = { warm: 0, cold: 0, turn: false };
  #warmIsKnown = false;

  constructor(asOf: IsoDate) {
    this.#asOf = asOf;
    this.#monthAgo = dateOfDay(dayNumber(asOf) - LOOKED_BACK);
  }

  /** Of the passes before, only those of so many days with a judged cold one count; undefined while others do, too. */
  get coldDaysLacking(): number | undefined {
    return this.#warmIsKnown ? REMEMBERED_DAYS - this.#days.cold : undefined;
  }

  /** Has all been seen that counts, so that this pass and those before it may be left out? */
  isBeyond(pass: Looked): boolean {
    const day = localDate(pass.at);
    if (day !== this.#day) {
      if (this.#close()) return true;
      this.#day = day;
      this.#found = { warm: false, cold: false, seconds: 0 };
    }
    if (isJudged(pass)) this.#found[pass.cold ? 'cold' : 'warm'] = true;
    this.#found.seconds += pass.duration;
    return false;
  }

  #close(): boolean {
    const day = this.#day;
    if (day === undefined || day > this.#asOf) return false;
    const { warm, cold, seconds } = this.#found;
    const days = this.#days;
    if (warm) days.warm++;
    if (cold) days.cold++;
    if (seconds >= 60 * MORE_THAN_A_LOOK) days.turn = true;
    this.#warmIsKnown = days.warm >= REMEMBERED_DAYS && days.turn && day <= this.#monthAgo;
    return this.#warmIsKnown && days.cold >= REMEMBERED_DAYS;
  }
}
