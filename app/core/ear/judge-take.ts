// A whole recording judged at once, by the same ear that listens live.
import type { Unit } from '../model/unit.ts';
import type { ChangeHeard } from '../model/pass.ts';
import type { Problem } from '../base/result.ts';
import type { Voicing } from '../units/hands/hands.ts';
import { RECORDED_LAP } from '../timeline/bare-lap.ts';
import { buildLap } from '../timeline/lap.ts';
import type { Lap } from '../timeline/model.ts';
import type { Bpm, Seconds } from '../base/units.ts';
import { expectationOf } from './expectation.ts';
import { findStart } from './find-start.ts';
import { type Findings, listen } from './listener.ts';
import { findOnsets } from './onsets.ts';
import { resampled } from './rate.ts';
import type { Take } from './take.ts';
import { type PassHeard, type VerdictRule, passVerdict } from './verdict.ts';
import { findingsWords } from './words.ts';

export interface TakeJudged {
  readonly changes: readonly ChangeHeard[];
  readonly pass: PassHeard;
  readonly findings: Findings;
  /** Where the unit's first bar begins in the recording. */
  readonly start: Seconds;
  /** Was the start found by the ear? Lateness is then relative to the player's own median. */
  readonly relative: boolean;
  readonly beat: Seconds;
  readonly remarks: readonly Problem[];
}

export interface TakeSettings {
  readonly bpm: Bpm;
  readonly rule: VerdictRule;
  /** Where the unit's first bar begins; found from the strokes where it is not given. */
  readonly start?: Seconds;
  readonly voicings: readonly Voicing[] | null;
}

export function judgeTake(take: Take, unit: Unit, settings: TakeSettings): TakeJudged {
  const lap = buildLap(unit, settings.bpm, RECORDED_LAP);
  const start = settings.start ?? startIn(take, lap, unit);
  const expectation = expectationOf(lap, unit, start - lap.unitStart, settings.voicings);
  const listener = listen(expectation, take.rate);
  const changes = [...listener.push(take.samples), ...listener.finish()];
  const { findings } = listener;
  const late = expectation.changes.at(-1)?.until ?? 0;
  return {
    changes,
    pass: passVerdict(changes, settings.rule, expectation.beat),
    findings,
    start,
    relative: settings.start === undefined,
    beat: expectation.beat,
    remarks: [...take.remarks, ...findingsWords(findings), ...tooShort(take.length, late)],
  };
}

function startIn(take: Take, lap: Lap, unit: Unit): Seconds {
  const { strokes } = expectationOf(lap, unit, 0, null);
  const moments = strokes.length > 0 ? strokes.map((s) => s.at) : lap.changes.map((c) => c.seconds);
  const found = findStart(
    moments.map((at) => at - lap.unitStart),
    findOnsets(resampled(take.samples, take.rate)),
  );
  return found ?? 0;
}

/** Half a second is the usual reach of a last chord that nobody needs to hear. */
const tooShort = (length: Seconds, end: Seconds): Problem[] =>
  length > end - 0.5
    ? []
    : [
        {
          code: 'take-too-short',
          message: `The recording ends ${(end - length).toFixed(1)} s before the pass does`,
          cure: 'Check --start, the tempo and the unit, or record to the end.',
        },
      ];
