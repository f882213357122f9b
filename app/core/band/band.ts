// The band of one lap: what the chart's words and the player's choices make drums and bass play.
import type { Seconds } from '../base/units.ts';
import type { Unit } from '../model/unit.ts';
import type { Lap } from '../timeline/model.ts';
import { bandBars } from './bars.ts';
import { bassNotes } from './bass.ts';
import { drumHits } from './drums.ts';
import { heardBars, type HoldOn } from './hold-on.ts';
import type { BandLap } from './model.ts';

export interface BandOptions {
  /** The same seed plays the same fills. @default 1 */
  readonly seed?: number;
  /** Bars in which the band is silent and the player holds the beat alone. */
  readonly holdOn?: HoldOn;
}

/** Drums and bass of a lap of the unit; the count-in and the rest bars are the click's. */
export function bandOf(unit: Unit, lap: Lap, { seed = 1, holdOn }: BandOptions = {}): BandLap {
  const bars = bandBars(unit, lap);
  const heard = heardBars(lap, holdOn);
  const drums = drumHits(bars, seed).filter((hit) => heard(hit.seconds) !== undefined);
  const bass = bassNotes(bars, seed).flatMap((note) => {
    const until: Seconds | undefined = heard(note.seconds);
    return until === undefined ? [] : [{ ...note, until: Math.min(note.until, until) }];
  });
  return { drums, bass };
}
