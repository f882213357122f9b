// What moved on the last practice day: the fastest clean pass of each unit against the day before it was clean.
import { inBeat } from '../rhythm/pulse.ts';
import type { BeatUnit, Bpm, IsoDate } from '../base/units.ts';

/** A unit that was played faster than the time before. */
export interface Gain {
  readonly chart: string;
  readonly unit: string;
  readonly beat: BeatUnit;
  readonly from: Bpm;
  readonly to: Bpm;
}

export interface LastTime {
  /** The last day on which anything was played. */
  readonly date: IsoDate;
  /** Judged passes of that day, and those of them that were clean. */
  readonly judged: number;
  readonly clean: number;
  /** Nothing was played on any day before. */
  readonly first: boolean;
  /** Largest share gained first. */
  readonly gains: readonly Gain[];
}

/** A unit that was played on that day. */
export interface PlayedThen {
  readonly chart: string;
  readonly unit: string;
  readonly beat: BeatUnit;
  /** Fastest clean pass of the day in quarter notes a minute, and of the last day before that had one. */
  readonly quarters?: Bpm | undefined;
  readonly before?: Bpm | undefined;
}

/** @param units in any order */
export const gainsOf = (units: readonly PlayedThen[]): Gain[] =>
  units
    .flatMap(({ chart, unit, beat, quarters = 0, before }): Gain[] =>
      before === undefined || quarters <= before
        ? []
        : [
            {
              ...{ chart, unit, beat },
              from: inBeat(before, 'quarter', beat),
              to: inBeat(quarters, 'quarter', beat),
            },
          ],
    )
    .sort((a, b) => b.to / b.from - a.to / a.from);
