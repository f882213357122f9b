// Which lap sounds and which follows it, and what a climb must be told as the heard clock passes over them.
import type { Playhead } from '../../../app/core/timeline/place.ts';
import { placeAt } from '../../../app/core/timeline/place.ts';
import type { Bpm, Seconds } from '../../../app/core/base/units.ts';
import type { ScheduledLap } from '../../audio/player.ts';

/** A lap in the hands of the player. */
export interface TrackedLap {
  readonly pass: number;
  readonly rung: number;
  readonly bpm: Bpm;
  /** Bar of the unit at which this lap takes the unit up, from 0: above 0 after a pause. */
  readonly fromBar: number;
  readonly scheduled: ScheduledLap;
}

/** Where the heard moment lies, and in which lap. */
export interface HeardPlace extends Playhead {
  readonly lap: TrackedLap;
}

export interface Report {
  readonly kind: 'pass-fixed' | 'pass-started' | 'unit-started' | 'pass-ended';
  readonly pass: number;
}

/** Reports of one lap in the order in which they fall due. */
const COURSE = ['pass-started', 'unit-started', 'pass-ended'] as const;

export class LapTrack {
  #current: TrackedLap | undefined;
  #next: TrackedLap | undefined;
  #told = 0;
  #nextFixed = false;
  #underrun = false;

  get current(): TrackedLap | undefined {
    return this.#current;
  }
  get next(): TrackedLap | undefined {
    return this.#next;
  }
  /** Did the audio fail inside the unit of the current lap? */
  get underrun(): boolean {
    return this.#underrun;
  }

  start(lap: TrackedLap): void {
    this.clear();
    this.#current = lap;
  }

  /** Has `lap` follow the current one; a lap queued before is cancelled. */
  queue(lap: TrackedLap | undefined): void {
    this.#next?.scheduled.cancel();
    this.#next = lap;
    this.#nextFixed = false;
  }

  clear(): void {
    this.#current = undefined;
    this.#next = undefined;
    this.#told = 0;
    this.#nextFixed = false;
    this.#underrun = false;
  }

  /** An underrun at audio time `at` is held against no one whose unit it falls into. */
  flagUnderrun(at: Seconds): void {
    const lap = this.#current;
    if (lap === undefined) return;
    const from = lap.scheduled.startsAt + lap.scheduled.lap.unitStart;
    const to = lap.scheduled.startsAt + lap.scheduled.lap.unitEnd;
    if (at >= from && at <= to) this.#underrun = true;
  }

  /**
   * The next thing to report, or undefined when nothing is due. Call it until then: after a stall
   * several are due, and each may change what is queued. `earliest` is what the player can still change.
   */
  report(heard: Seconds, earliest: Seconds): Report | undefined {
    const next = this.#next;
    if (next !== undefined && !this.#nextFixed && earliest >= next.scheduled.startsAt) {
      this.#nextFixed = true;
      return { kind: 'pass-fixed', pass: next.pass };
    }
    return this.#ofCurrent(heard) ?? this.#handOver(heard);
  }

  /** Where the heard moment lies; its unit bar counts within the whole unit. None once the last lap is over. */
  place(heard: Seconds): HeardPlace | undefined {
    const lap = this.#current;
    if (lap === undefined) return undefined;
    if (this.#next === undefined && heard >= lap.scheduled.endsAt) return undefined;
    const place = placeAt(lap.scheduled.lap, heard - lap.scheduled.startsAt);
    const unitBar = place.unitBar === undefined ? {} : { unitBar: place.unitBar + lap.fromBar };
    return { ...place, ...unitBar, lap };
  }

  #ofCurrent(heard: Seconds): Report | undefined {
    const lap = this.#current;
    const kind = COURSE[this.#told];
    if (lap === undefined || kind === undefined) return undefined;
    const { unitStart, unitEnd } = lap.scheduled.lap;
    const due = { 'pass-started': 0, 'unit-started': unitStart, 'pass-ended': unitEnd }[kind];
    if (heard < lap.scheduled.startsAt + due) return undefined;
    this.#told += 1;
    return { kind, pass: lap.pass };
  }

  #handOver(heard: Seconds): Report | undefined {
    const next = this.#next;
    if (next === undefined || this.#told < COURSE.length) return undefined;
    if (heard < next.scheduled.startsAt) return undefined;
    this.clear();
    this.#current = next;
    return this.#ofCurrent(heard);
  }
}
