// Rung after rung as one piece of time, for practising away from the computer: what WAV and MIDI files hold.
import type { Unit } from '../chart/unit-model.ts';
import { type Problem, type Result, fail, ok } from '../result.ts';
import type { HeardClicks } from '../sound/hits.ts';
import { type StringNote, strumNotes, type Voicing } from '../sound/strum-notes.ts';
import { buildLap } from '../timeline/lap.ts';
import type { Lap, LapOptions } from '../timeline/model.ts';
import { type Bpm, MAX_BPM, MIN_BPM, type Seconds } from '../units.ts';

export interface TrackOptions {
  /** The rungs, in the order they are played: tempos of the unit's own beat. */
  readonly tempos: readonly Bpm[];
  /** Passes on each rung, 1 or more. */
  readonly passes: number;
  /** Its count-in stands before every pass; without rest bars only before the first of a rung. */
  readonly lap: LapOptions;
  readonly click: HeardClicks;
  /** The model guitar plays along: one voicing per chord of the unit, as for `strumNotes`. */
  readonly voicings?: readonly Voicing[];
}

export interface TrackLap {
  readonly lap: Lap;
  /** From the start of the track. */
  readonly startsAt: Seconds;
  /** The model's strings, from the start of the lap; empty without a model. */
  readonly model: readonly StringNote[];
}

export interface PracticeTrack {
  readonly unit: Unit;
  readonly click: HeardClicks;
  readonly laps: readonly TrackLap[];
  readonly end: Seconds;
}

/** Longer than this is a mistake in the numbers more likely than a wish, and a file of 1 GB. */
export const LONGEST_TRACK: Seconds = 3 * 3600;

/** Lays the laps one after another. Refuses tempos outside 20–400, no passes, and more than three hours. */
export function practiceTrack(unit: Unit, options: TrackOptions): Result<PracticeTrack> {
  const problem = problemIn(options);
  if (problem) return fail(problem);
  const laps: TrackLap[] = [];
  let startsAt: Seconds = 0;
  for (const bpm of options.tempos) {
    for (let pass = 0; pass < options.passes; pass++) {
      const lap = buildLap(unit, bpm, passOptions(options.lap, pass));
      const model = options.voicings ? strumNotes(lap, unit, options.voicings) : [];
      laps.push({ lap, startsAt, model });
      startsAt += lap.end;
      if (startsAt > LONGEST_TRACK) return fail(tooLong(laps.length));
    }
  }
  return ok({ unit, click: options.click, laps, end: startsAt });
}

function passOptions(lap: LapOptions, pass: number): LapOptions {
  return pass > 0 && lap.restBars === 0 ? { ...lap, countIn: 'none' } : lap;
}

function problemIn({ tempos, passes }: TrackOptions): Problem | undefined {
  const outside = tempos.find((bpm) => !(bpm >= MIN_BPM && bpm <= MAX_BPM));
  if (outside !== undefined) {
    return {
      code: 'track-tempo',
      message: `${outside} bpm is not a tempo this program plays.`,
      cure: `Choose tempos from ${MIN_BPM} to ${MAX_BPM}.`,
    };
  }
  if (tempos.length > 0 && Number.isInteger(passes) && passes > 0) return undefined;
  return {
    code: 'track-empty',
    message: 'There is no rung or no pass to put into the file.',
    cure: 'Choose at least one tempo and one pass.',
  };
}

const tooLong = (laps: number): Problem => ({
  code: 'track-too-long',
  message: `After ${laps} passes the file is longer than three hours.`,
  cure: 'Choose fewer rungs or passes, or a shorter unit.',
});
