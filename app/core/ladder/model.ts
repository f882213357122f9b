// The words of a ladder and of a climb: plain data, shared by the reducer, the log and the screens.
import type { Verdict, VerdictSource } from '../progress/record.ts';
import type { BeatUnit, Bpm, Seconds } from '../units.ts';

export type Step =
  { readonly kind: 'bpm'; readonly by: Bpm } | { readonly kind: 'percent'; readonly by: number };

/** Rung by rung; alternating the last owned tempo with the target; or at the target throughout. */
export type Route = 'straight' | 'leap' | 'at-target';

export interface LadderRules {
  readonly start: Bpm;
  readonly target: Bpm;
  readonly beat: BeatUnit;
  readonly step: Step;
  readonly route: Route;
  /** Rungs above the target, 0–5. */
  readonly above: number;
  /** Clean passes in a row that climb, 1–10. */
  readonly cleanToClimb: number;
  /** Missed passes in a row that drop, 1–10. */
  readonly missedToDrop: number;
  /** One rung down, or half-way back to the last owned rung. */
  readonly drop: 'one-rung' | 'half-way';
  /** Passes on one rung without climbing after which the program suggests stopping; 0 is never. */
  readonly longestOnRung: number;
  /** The climb ends after this many passes or minutes; 0 is no limit. */
  readonly maxPasses: number;
  readonly maxMinutes: number;
  /** Bars between passes, 0–4. With 0 the verdict of pass k takes effect at pass k + 2 (play-on). */
  readonly restBars: number;
}

/** What a screen or pedal may ask of a climb, and what the player reports. Times are the caller's clock. */
export type ClimbEvent =
  | { readonly kind: 'begin'; readonly now: Seconds }
  /** A lap has been handed to the audio engine. */
  | { readonly kind: 'pass-started'; readonly pass: number; readonly now: Seconds }
  /** The unit's last bar has been played. */
  | {
      readonly kind: 'pass-ended';
      readonly pass: number;
      readonly now: Seconds;
      readonly underrun: boolean;
    }
  | {
      readonly kind: 'verdict';
      readonly pass: number;
      readonly verdict: Verdict;
      readonly source: VerdictSource;
      readonly now: Seconds;
    }
  /** The time for a verdict on this pass is over (its rest bars have ended). */
  | { readonly kind: 'verdict-closed'; readonly pass: number; readonly now: Seconds }
  | { readonly kind: 'undo'; readonly now: Seconds }
  | { readonly kind: 'pause'; readonly reason: PauseReason; readonly now: Seconds }
  | { readonly kind: 'resume'; readonly now: Seconds }
  | { readonly kind: 'stop'; readonly reason: StopReason; readonly now: Seconds };

export type PauseReason = 'player' | 'audio-lost' | 'sleep' | 'hidden';
export type StopReason = 'player' | 'hurts' | 'top' | 'limit' | 'closed';
