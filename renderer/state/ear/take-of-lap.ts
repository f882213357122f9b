// One lap as the microphone will hear it: which stretch of sound, and what should be in it when.
import type { Unit } from '../../../app/core/model/unit.ts';
import { expectationOf, type Grips } from '../../../app/core/ear/expectation.ts';
import { windowOf, type VerdictRule } from '../../../app/core/ear/verdict.ts';
import { hitsOf } from '../../../app/core/sound/hits.ts';
import { type LeadMoment, leadMoments } from '../../../app/core/timeline/lead.ts';
import type { Lap } from '../../../app/core/timeline/model.ts';
import type { Bpm, SampleRate, Samples, Seconds } from '../../../app/core/base/units.ts';
import type { AskedTake, Job } from '../../audio/capture/takes.ts';

export interface HeardLap {
  readonly pass: number;
  readonly lap: Lap;
  /** Audio time at which the lap is handed to the output. */
  readonly startsAt: Seconds;
}

export interface Listener extends Grips {
  readonly unit: Unit;
  readonly rule: VerdictRule;
  readonly rate: SampleRate;
  /** From handing a sound to the output to finding it in the microphone's sound. */
  readonly roundTrip: Seconds;
}

/** A stroke may come before its moment, so the take begins a little before the lap. */
const BEFORE: Seconds = 0.3;
/** The last change is judged from 0.07 s after its time; the rest is reserve. */
const AFTER: Seconds = 0.4;

/**
 * What sounds at audio time t arrives in the microphone's sound at t + round trip. So a player who is exactly
 * with the click he hears is exactly on time here.
 */
export function takeOfLap({ pass, lap, startsAt }: HeardLap, listener: Listener): AskedTake {
  const { rate, roundTrip } = listener;
  const begins = startsAt + roundTrip;
  const from: Samples = Math.round((begins - BEFORE) * rate);
  const to: Samples = Math.round((begins + lap.unitEnd + AFTER) * rate);
  return { id: pass, from, to, job: jobOf(lap, begins - from / rate, listener) };
}

/** @param start Where the lap begins in the take. */
function jobOf(lap: Lap, start: Seconds, { unit, rule, ...grips }: Listener): Job {
  if (!unit.lead) {
    return { kind: 'chords', expectation: expectationOf(lap, unit, start, grips) };
  }
  const clicks = hitsOf(lap).map(({ seconds, voice, timbre }) => ({
    at: start + seconds,
    voice,
    timbre,
  }));
  return {
    kind: 'lead',
    moments: ownMoments(unit, lap.bpm),
    clicks,
    start: start + lap.unitStart,
    onTime: windowOf(rule, beatOf(lap)),
  };
}

/** The notes of the part that is climbed, from the start of the unit; none where chords are climbed. */
export const ownMoments = (unit: Unit, bpm: Bpm): readonly LeadMoment[] =>
  unit.lead ? leadMoments(unit, bpm, { countIn: 'none', restBars: 0 }, unit.lead) : [];

/** One beat at the tempo of the lap. */
export const beatOf = (lap: Lap): Seconds => (lap.beats[1] ?? lap.unitEnd) - (lap.beats[0] ?? 0);
