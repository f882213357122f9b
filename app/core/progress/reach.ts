// How far back a unit's passes must be read so that earlier ones change nothing that is said of it on a day.
import type { IsoDate, Seconds } from '../base/units.ts';
import { dateOfDay, dayNumber } from '../log/days.ts';
import type { BriefPass } from '../model/pass.ts';
import { isJudged, REMEMBERED_DAYS } from './outcomes.ts';
import { MORE_THAN_A_LOOK } from './standing.ts';

/** What is looked at of each pass. */
export type Glimpse = Pick<BriefPass, 'verdict' | 'cold' | 'underrun'> & {
  readonly day: IsoDate;
  readonly seconds: Seconds;
};

/** Days before the one asked about within which pace and share clean are looked for. */
const LOOKED_BACK = 28;

/** Is asked pass by pass, from the newest on. */
export class Reach {
  readonly #asOf: IsoDate;
  readonly #monthAgo: IsoDate;
  #day: IsoDate | undefined;
  #found = { warm: false, cold: false, seconds: 0 };
  /** Days that hold a warm pass which counts, a cold one, anything at all; and whether one was more than a look. */
  #days = { warm: 0, cold: 0, all: 0, turn: false };

  constructor(asOf: IsoDate) {
    this.#asOf = asOf;
    this.#monthAgo = dateOfDay(dayNumber(asOf) - LOOKED_BACK);
  }

  /** Has all been seen that counts, so that this pass and those before it may be left out? */
  isBeyond(pass: Glimpse): boolean {
    if (pass.day !== this.#day) {
      if (this.#close()) return true;
      this.#day = pass.day;
      this.#found = { warm: false, cold: false, seconds: 0 };
    }
    if (isJudged(pass)) this.#found[pass.cold ? 'cold' : 'warm'] = true;
    this.#found.seconds += pass.seconds;
    return false;
  }

  #close(): boolean {
    const day = this.#day;
    if (day === undefined || day > this.#asOf) return false;
    const { warm, cold, seconds } = this.#found;
    const days = this.#days;
    days.all++;
    if (warm) days.warm++;
    if (cold) days.cold++;
    if (seconds >= 60 * MORE_THAN_A_LOOK) days.turn = true;
    return Math.min(days.warm, days.cold) >= REMEMBERED_DAYS && days.turn && day <= this.#monthAgo;
  }
}
