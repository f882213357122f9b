// Where a moment lies in a lap: what the stage shows while the sound runs.
import type { Seconds, Share } from '../base/units.ts';
import type { Chord } from '../model/chord.ts';
import type { Lap } from './model.ts';
import type { LapPart } from './timed-bars.ts';
import { lastAtOrBefore } from './search.ts';

export interface Playhead {
  readonly part: LapPart;
  /** Index into {@link Lap.bars}, and into the unit's bars where the moment lies in the unit. */
  readonly bar: number;
  readonly unitBar?: number;
  /** Beat within the bar, from 1, and how much of it has gone by (0 up to, not including, 1). */
  readonly beat: number;
  readonly beatShare: Share;
  /** The chord that sounds; absent before the first one. */
  readonly current?: Chord;
  /** The chord that sounds next, when, and the beats until then (fractional); absent after the last change. */
  readonly next?: Chord;
  readonly nextAt?: Seconds;
  readonly beatsUntilNext?: number;
  /** Index of the next change in {@link Lap.changes}; equals its length after the last. */
  readonly nextChange: number;
}

/**
 * The place `seconds` after the lap's start. Moments before or after the lap count as its first and last.
 * Two binary searches over plain arrays: cheap enough for every animation frame.
 */
export function placeAt(lap: Lap, seconds: Seconds): Playhead {
  const t = Math.min(Math.max(seconds, 0), lap.end);
  const barIndex = Math.max(
    0,
    lastAtOrBefore(lap.bars, (bar) => bar.seconds - t),
  );
  const bar = lap.bars[barIndex]!;
  const position = beatPosition(lap, t);
  const whole = Math.floor(position);
  const change = lastAtOrBefore(lap.changes, (event) => event.seconds - t);
  const current = lap.changes[change]?.chord ?? lap.opening;
  const next = lap.changes[change + 1];
  return {
    part: bar.part,
    bar: barIndex,
    ...(bar.unitBar === undefined ? {} : { unitBar: bar.unitBar }),
    beat: bar.firstBeat + whole - bar.beatIndex,
    beatShare: position - whole,
    ...(current === undefined ? {} : { current }),
    ...(next?.chord === undefined
      ? {}
      : {
          next: next.chord,
          nextAt: next.seconds,
          beatsUntilNext: beatPosition(lap, next.seconds) - position,
        }),
    nextChange: change + 1,
  };
}

/** Beats since the lap's first beat; fractional; the first and last beats' lengths go on outside. */
function beatPosition(lap: Lap, t: Seconds): number {
  const { beats } = lap;
  const i = Math.min(
    Math.max(
      0,
      lastAtOrBefore(beats, (beat) => beat - t),
    ),
    beats.length - 1,
  );
  const start = beats[i] ?? 0;
  const end = beats[i + 1] ?? lap.end;
  return end > start ? i + (t - start) / (end - start) : i;
}
