// Where the laps of a practice track stand in ticks: exact quarter notes where there are any, else the nearest tick.
import { type Rational, add, toNumber, ZERO } from '../../base/rational.ts';
import { lastAtOrBefore } from '../../timeline/search.ts';
import type { Lap } from '../../timeline/model.ts';
import { stretchesIn } from '../../timeline/tempo-map.ts';
import type { Seconds } from '../../base/units.ts';
import type { TrackLap } from '../practice-track.ts';

/** Divisible by all that charts are written in: sixteenths, triplets, and swing of 2:1 or 3:2. */
export const TICKS_PER_QUARTER = 960;

export interface PlacedLap extends TrackLap {
  /** Quarter notes from the start of the track. */
  readonly at: Rational;
}

/** The laps one after the other, without gaps. */
export function placed(laps: readonly TrackLap[]): readonly PlacedLap[] {
  let at = ZERO;
  return laps.map((trackLap) => {
    const here = { ...trackLap, at };
    const last = trackLap.lap.bars.at(-1)!;
    at = add(at, add(last.at, last.length));
    return here;
  });
}

/** The tick nearest to a place in quarter notes. */
export const tickOf = (at: Rational): number => Math.round(toNumber(at) * TICKS_PER_QUARTER);

/** The tick of the file nearest to a moment of the lap. */
export const tickAt = ({ lap, at }: PlacedLap, seconds: Seconds): number =>
  Math.round(toNumber(at) * TICKS_PER_QUARTER + ticksInto(lap, seconds));

/** Through the bar the moment lies in. */
function ticksInto(lap: Lap, seconds: Seconds): number {
  const bar = stretchAt(lap, (b) => b.seconds - seconds);
  return TICKS_PER_QUARTER * (toNumber(bar.at) + (seconds - bar.seconds) / bar.quarter);
}

/** The other way: when a tick of the file sounds, in seconds from the start of the lap. */
export function secondsAt({ lap, at }: PlacedLap, tick: number): Seconds {
  const quarters = tick / TICKS_PER_QUARTER - toNumber(at);
  const bar = stretchAt(lap, (b) => toNumber(b.at) - quarters);
  return bar.seconds + (quarters - toNumber(bar.at)) * bar.quarter;
}

type Stretch = ReturnType<typeof stretchesIn>[number];

/** The stretch of constant tempo in which a moment lies. */
function stretchAt(lap: Lap, order: (place: Pick<Stretch, 'at' | 'seconds'>) => number): Stretch {
  const bar = lap.bars[Math.max(0, lastAtOrBefore(lap.bars, order))]!;
  const stretches = stretchesIn(bar);
  return stretches[Math.max(0, lastAtOrBefore(stretches, order))]!;
}
