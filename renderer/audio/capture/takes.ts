// What the analysis is asked and answers: stretches of the microphone's sound, each with what should be in it.
import type { KnownClick } from '../../../app/core/ear/clicks.ts';
import type { Findings } from '../../../app/core/ear/listener.ts';
import type { TakeJudged } from '../../../app/core/ear/judge-take.ts';
import type { LeadHeard } from '../../../app/core/ear/lead/model.ts';
import type { Expectation } from '../../../app/core/ear/model.ts';
import type { VerdictRule } from '../../../app/core/ear/verdict.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { Fingers, Voicing } from '../../../app/core/units/hands/hands.ts';
import type { LeadMoment } from '../../../app/core/timeline/lead.ts';
import type {
  Bpm,
  Milliseconds,
  SampleRate,
  Samples,
  Seconds,
} from '../../../app/core/base/units.ts';

/** Times in a job are from the take's own first sample. */
export type Job =
  | { readonly kind: 'chords'; readonly expectation: Expectation }
  | {
      readonly kind: 'lead';
      readonly moments: readonly LeadMoment[];
      readonly clicks: readonly KnownClick[];
      /** Where the lap begins. */
      readonly start: Seconds;
      readonly onTime: Milliseconds;
    };

/** A stretch of sound by the audio clock's frames, `to` not included. */
export interface AskedTake {
  readonly id: number;
  readonly from: Samples;
  readonly to: Samples;
  readonly job: Job;
}

export interface HeardTake {
  readonly id: number;
  readonly heard:
    | {
        readonly kind: 'chords';
        readonly changes: readonly ChangeHeard[];
        readonly findings: Findings;
      }
    | {
        readonly kind: 'lead';
        readonly lead: LeadHeard;
        readonly peak: number;
        readonly clipped: number;
      };
  /** Sound that never came, in the middle or at either end. */
  readonly missing: Seconds;
}

export interface AskedFile {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly name: string;
  readonly unit: Unit;
  readonly bpm: Bpm;
  readonly rule: VerdictRule;
  /** Where the unit's first bar begins in it; looked for where it is left out. */
  readonly start?: Seconds;
  readonly voicings: readonly Voicing[] | null;
  readonly fingers?: readonly Fingers[];
}

export type AnalysisRequest =
  | { readonly kind: 'rate'; readonly rate: SampleRate }
  | { readonly kind: 'take'; readonly take: AskedTake }
  | { readonly kind: 'drop'; readonly id: number }
  | { readonly kind: 'block'; readonly frame: Samples; readonly samples: Float32Array }
  | { readonly kind: 'file'; readonly file: AskedFile };

export type AnalysisAnswer =
  | { readonly kind: 'take'; readonly take: HeardTake }
  | { readonly kind: 'file'; readonly judged: Result<TakeJudged> };
