// Rung after rung as one piece of time, for practising away from the computer: what WAV and MIDI files hold.
import type { Unit } from '../model/unit.ts';
import { type Problem, type Result, fail, ok } from '../base/result.ts';
import { bandOf, type BandOptions } from '../band/band.ts';
import { type BandLap, NO_BAND } from '../band/model.ts';
import type { HeardClicks } from '../sound/hits.ts';
import { tonesInLap } from '../sound/lead/in-lap.ts';
import type { LeadPartName } from '../timeline/lead.ts';
import type { LeadTone } from '../sound/lead/tones.ts';
import { type StringNote, strumNotes } from '../sound/strum-notes.ts';
import type { Voicing } from '../units/hands/hands.ts';
import { buildLap } from '../timeline/lap.ts';
import { followingOptions, playsOn } from '../timeline/play-on.ts';
import type { Lap, LapOptions } from '../timeline/model.ts';
import { type Bpm, MAX_BPM, MIN_BPM, type Seconds } from '../base/units.ts';

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
  /** Parts of lead lines that are heard; see `partsIn`. */
  readonly leads?: readonly LeadPartName[];
  /** Drums and bass play along. */
  readonly band?: BandOptions;
}

export interface TrackLead {
  readonly part: LeadPartName;
  /** By start, from the start of the lap. */
  readonly tones: readonly LeadTone[];
}

interface SoundingLap {
  readonly lap: Lap;
  /** The model's strings, from the start of the lap; empty without a model. */
  readonly model: readonly StringNote[];
  readonly leads: readonly TrackLead[];
  readonly band: BandLap;
}

export interface TrackLap extends SoundingLap {
  /** From the start of the track. */
  readonly startsAt: Seconds;
}

export interface PracticeTrack {
  readonly unit: Unit;
  readonly click: HeardClicks;
  readonly laps: readonly TrackLap[];
  readonly end: Seconds;
}

/** Longer than this is a mistake in the numbers more likely than a wish, and a file of 1 GB. */
const LONGEST_TRACK: Seconds = 3 * 3600;

/** Lays the laps one after another. Refuses what {@link trackLength} refuses. */
export function practiceTrack(unit: Unit, options: TrackOptions): Result<PracticeTrack> {
  const length = trackLength(unit, options);
  if (!length.ok) return length;
  const laps: TrackLap[] = [];
  let startsAt: Seconds = 0;
  for (const bpm of options.tempos) {
    const [first, next] = lapsOf(unit, bpm, options.lap).map((lap) => sounding(unit, lap, options));
    for (let pass = 0; pass < options.passes; pass++) {
      const now = pass === 0 ? first! : next!;
      laps.push({ ...now, startsAt });
      startsAt += now.lap.end;
    }
  }
  return ok({ unit, click: options.click, laps, end: startsAt });
}

/** How long the track will be. Refuses tempos outside 20–400, no passes, and more than three hours. */
export function trackLength(
  unit: Unit,
  options: Pick<TrackOptions, 'tempos' | 'passes' | 'lap'>,
): Result<Seconds> {
  const problem = problemIn(options);
  if (problem) return fail(problem);
  let end: Seconds = 0;
  for (const bpm of options.tempos) {
    const [first, next] = lapsOf(unit, bpm, options.lap);
    end += first.end + (options.passes - 1) * next.end;
  }
  return end > LONGEST_TRACK ? fail(tooLong(end)) : ok(end);
}

/** The first lap on a rung, and each that follows it there. */
function lapsOf(unit: Unit, bpm: Bpm, lap: LapOptions): readonly [first: Lap, next: Lap] {
  const first = buildLap(unit, bpm, lap);
  return [first, playsOn(lap) ? buildLap(unit, bpm, followingOptions(lap)) : first];
}

function sounding(unit: Unit, lap: Lap, { voicings, leads = [], band }: TrackOptions): SoundingLap {
  return {
    lap,
    model: voicings ? strumNotes(lap, unit, voicings) : [],
    leads: leads.map((part) => ({ part, tones: tonesInLap(unit, lap, part) })),
    band: band ? bandOf(unit, lap, band) : NO_BAND,
  };
}

function problemIn({
  tempos,
  passes,
}: Pick<TrackOptions, 'tempos' | 'passes'>): Problem | undefined {
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

const tooLong = (end: Seconds): Problem => ({
  code: 'track-too-long',
  message: `The file would last ${(end / 3600).toFixed(1)} hours; three hours are the most.`,
  cure: 'Choose fewer rungs or passes, or a shorter unit.',
});
