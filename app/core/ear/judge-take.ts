// A whole recording judged at once, by the same ear that listens live.
import type { Unit } from '../model/unit.ts';
import type { ChangeHeard } from '../model/pass.ts';
import type { Problem } from '../base/result.ts';
import { RECORDED_LAP } from '../timeline/bare-lap.ts';
import { buildLap } from '../timeline/lap.ts';
import type { Lap } from '../timeline/model.ts';
import type { Bpm, Seconds } from '../base/units.ts';
import { expectationOf, type Grips } from './expectation.ts';
import { findStart, type FoundStart } from './find-start.ts';
import { type Findings, listen } from './listener.ts';
import { soundFrames } from './frames.ts';
import type { Network } from './network/network.ts';
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

export interface TakeSettings extends Grips {
  readonly bpm: Bpm;
  readonly rule: VerdictRule;
  /** Where the unit's first bar begins; found from the strokes where it is not given. */
  readonly start?: Seconds;
  readonly network: Network;
}

/** Judges a recording of one pass, whatever its sample rate; what spoils the listening is among the remarks. */
export function judgeTake(take: Take, unit: Unit, settings: TakeSettings): TakeJudged {
  const lap = buildLap(unit, settings.bpm, RECORDED_LAP);
  const found = settings.start === undefined ? startIn(take, lap, unit, settings) : null;
  const start = settings.start ?? found?.start ?? 0;
  const expectation = expectationOf(lap, unit, start - lap.unitStart, settings);
  const listener = listen(expectation, take.rate, settings.network);
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
    remarks: [
      ...take.remarks,
      ...findingsWords(findings),
      ...(found?.doubtful ? [DOUBTFUL_START] : []),
      ...(found ? otherPace(found, settings.bpm) : []),
      ...tooShort(take.length, late),
    ],
  };
}

function startIn(take: Take, lap: Lap, unit: Unit, { voicings }: TakeSettings): FoundStart | null {
  const sound = resampled(take.samples, take.rate);
  const frames = soundFrames();
  frames.advance(sound, sound.length);
  return findStart(expectationOf(lap, unit, -lap.unitStart, { voicings }), frames, take.length);
}

const DOUBTFUL_START: Problem = {
  code: 'ear-start-doubtful',
  message: 'It is not certain where the pass begins',
  cure: 'Look at where it is said to begin, and give the start yourself if that is not it.',
};

/** A player who heard no click may have played a little faster or slower all along. */
function otherPace({ pace, doubtful }: FoundStart, asked: Bpm): Problem[] {
  const played = Math.round(asked / pace);
  if (doubtful || played === Math.round(asked)) return [];
  return [
    {
      code: 'ear-other-pace',
      message: `It was played at about ${played} bpm rather than ${asked}`,
      cure: `Judge it at ${played} bpm to see each change against the beat that was played.`,
    },
  ];
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
