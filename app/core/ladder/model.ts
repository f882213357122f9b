// The words of a ladder and of a climb: plain data, shared by the reducer, the log and the screens.
import type { ClimbSource, PassVerdict, StepTaken, Verdict } from '../model/pass.ts';
import type { BreakPlace } from '../model/unit.ts';
import type { BeatUnit, Bpm, Seconds } from '../base/units.ts';

export type Step =
  { readonly kind: 'bpm'; readonly by: Bpm } | { readonly kind: 'percent'; readonly by: number };

/** Rung by rung; alternating the last owned tempo with the target; or at the target throughout. */
export const ROUTES = ['straight', 'leap', 'at-target'] as const;
export type Route = (typeof ROUTES)[number];

/** How far a drop goes. */
export const DROPS = ['one-rung', 'half-way'] as const;

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
  readonly drop: (typeof DROPS)[number];
  /** Passes on one rung without climbing after which the program suggests stopping; 0 is never. */
  readonly longestOnRung: number;
  /** The climb ends after this many passes or minutes; 0 is no limit. */
  readonly maxPasses: number;
  readonly maxMinutes: number;
  /** Bars between passes, 0–4. With 0 the verdict of pass k takes effect at pass k + 2 (play-on). */
  readonly restBars: number;
}

/** What a screen or pedal may ask of a climb, and what the player reports. */
export type Happening =
  | { readonly kind: 'begin' }
  /** The lap of this pass has begun to sound: its count-in, or its unit where there is none. */
  | { readonly kind: 'pass-started'; readonly pass: number }
  /** The count-in is over. With rest bars, the time for a verdict on the pass before ends here. */
  | { readonly kind: 'unit-started'; readonly pass: number }
  /** The queued lap is too near to be replaced: a verdict from now on moves the pass after it. */
  | { readonly kind: 'pass-fixed'; readonly pass: number }
  /** The unit's last bar has been played. In play-on, the time for the pass before ends here. */
  | { readonly kind: 'pass-ended'; readonly pass: number; readonly underrun: boolean }
  | {
      readonly kind: 'verdict';
      readonly pass: number;
      readonly verdict: Verdict;
      readonly source: ClimbSource;
    }
  /** After a miss: where it broke; null is somewhere. */
  | {
      readonly kind: 'broke';
      readonly place: BreakPlace | null;
      readonly source: ClimbSource;
    }
  /** After a miss: take the partner's step, or another of those it offers. */
  | { readonly kind: 'take'; readonly answer?: AnswerKind }
  /** The drill or piece that a miss led to is over. */
  | { readonly kind: 'back' }
  | { readonly kind: 'undo' }
  | { readonly kind: 'pause'; readonly reason: PauseReason }
  | { readonly kind: 'resume' }
  | { readonly kind: 'stop'; readonly reason: StopReason };

/** What happened, and when by the caller's clock, which only goes forward. */
export type ClimbEvent = Happening & { readonly now: Seconds };

export type PauseReason = 'player' | 'audio-lost' | 'sleep' | 'hidden' | 'break';
/** 'top', 'limit' and 'found' are the climb's own; 'hurts' ends without any penalty. */
export type StopReason = 'player' | 'hurts' | 'top' | 'limit' | 'found' | 'closed';

/**
 * ready → counting-in → playing → resting → counting-in …, and paused or finished from any of them.
 * With a partner a miss leads to asking, and from there on, or away to a drill and back.
 * In play-on there is neither resting nor a count-in between passes.
 */
export type ClimbPhase =
  'ready' | 'counting-in' | 'playing' | 'resting' | 'asking' | 'away' | 'paused' | 'finished';

/** In the leap route passes alternate between the lower footing and the upper one; else all are 'lower'. */
export type Side = 'lower' | 'upper';

/** One pass of this climb. `verdict` is null until it is judged or its time is over. */
export interface ClimbPass {
  /** From 1. */
  readonly number: number;
  readonly rung: number;
  readonly side: Side;
  readonly ended: boolean;
  /** May it still be judged? */
  readonly open: boolean;
  /** Has an entry for it been sent to the log? A later word is then an amendment. */
  readonly logged: boolean;
  readonly verdict: PassVerdict | null;
  readonly source: ClimbSource | null;
  readonly underrun: boolean;
  /** It was paused and taken up again at a bar, so the ear leaves it alone. */
  readonly interrupted: boolean;
  /** The step after a miss that led to it. */
  readonly after: StepTaken | null;
}

/** Where a side stands: its rung and what has been counted there since it came to it. */
export interface Footing {
  readonly rung: number;
  /** Clean and missed passes in a row; one of the two is always 0. */
  readonly cleans: number;
  readonly misses: number;
}

/** All that a verdict may change, so that undo can put it back as it was. */
export interface Footholds {
  readonly lower: Footing;
  readonly upper: Footing;
  /** Highest rung that counts as owned: from the log at the start, or four clean passes in five here. */
  readonly owned: number;
  /** The highest rung is climbed, or the start is found: no pass follows the one now playing. */
  readonly topped: boolean;
}

/** The next pass as it will be played, unless a verdict changes it before it is fixed. */
export interface PlannedPass {
  readonly pass: number;
  readonly rung: number;
  readonly side: Side;
  readonly fixed: boolean;
}

export interface ClimbState {
  /** Is this a search for a start tempo? Then `tempo-finder.ts` chooses every rung. */
  readonly finding: boolean;
  readonly rules: LadderRules;
  /** Lowest first; index `targetRung` is the target. */
  readonly rungs: readonly Bpm[];
  readonly targetRung: number;
  readonly phase: ClimbPhase;
  /** Every pass that has begun to sound, oldest first. */
  readonly passes: readonly ClimbPass[];
  readonly footholds: Footholds;
  readonly planned: PlannedPass | null;
  /** The last verdict and what stood before it. */
  readonly undoable: {
    readonly pass: number;
    readonly before: Footholds;
    readonly partner: Partner | null;
  } | null;
  /** Answers misses with one next step; null in a search, and where a climb goes by its rules alone. */
  readonly partner: Partner | null;
  readonly pause: { readonly reason: PauseReason; readonly since: Seconds } | null;
  readonly begunAt: Seconds | null;
  /** Seconds spent paused, which no limit counts. */
  readonly pausedFor: Seconds;
  /** The minutes are used up: no pass follows the one now playing. */
  readonly timeUp: boolean;
  readonly finished: { readonly reason: StopReason; readonly at: Seconds } | null;
}

/** One next step after a miss. */
export type Answer =
  /** The same once more. */
  | { readonly kind: 'again' }
  /** A rung slower; below the lowest rung a new one is added. */
  | { readonly kind: 'slower'; readonly bpm: Bpm }
  /** The change alone, back and forth, then the climb a rung lower. */
  | {
      readonly kind: 'drill';
      readonly place: BreakPlace;
      readonly bpm: Bpm;
      readonly seconds: Seconds;
    }
  /** Fewer bars of the unit (0-based, both included), then the whole again. */
  | { readonly kind: 'piece'; readonly from: number; readonly to: number; readonly bpm: Bpm }
  | { readonly kind: 'break'; readonly minutes: number }
  /** Enough for now: what was played is kept. */
  | { readonly kind: 'enough' };
export type AnswerKind = Answer['kind'];

/** What the partner knows of the unit, and what it has said since the last clean pass. */
export interface Partner {
  readonly places: readonly BreakPlace[];
  /** Bars of the unit. */
  readonly bars: number;
  /** The question that stands; null while none does. */
  readonly asked: Asked | null;
  /** Steps taken since the last clean pass, oldest first. */
  readonly taken: readonly AnswerKind[];
  /** Clean passes in a row. */
  readonly cleans: number;
  /** Where passes of this climb broke, in order. */
  readonly marks: readonly { readonly pass: number; readonly place: BreakPlace }[];
  /** The drill or piece that is on, and what stood before it: undo leads back there. */
  readonly away: {
    readonly answer: Extract<Answer, { kind: 'drill' | 'piece' }>;
    readonly asked: Asked;
    readonly undoable: ClimbState['undoable'];
  } | null;
  /** In play-on: the missed pass to ask about as soon as the one that sounds is over. */
  readonly due: number | null;
  /** The step that leads to the pass that comes next. */
  readonly step: StepTaken | null;
}

export interface Asked {
  /** The pass that broke. */
  readonly pass: number;
  /** Where, once it is said or offered; null is somewhere. */
  readonly place: BreakPlace | null;
  /** Best first: the first one is taken by itself. Never empty. */
  readonly answers: readonly Answer[];
}

/** What the caller must do. Carried out in order, before the next event. */
export type ClimbEffect =
  /** Start this pass's lap now, with a count-in; `again` takes up a paused pass at the bar where it stopped. */
  | { readonly kind: 'play'; readonly pass: number; readonly rung: number; readonly again: boolean }
  /** Have this lap ready to follow the present one; it replaces any lap queued before. */
  | { readonly kind: 'queue'; readonly pass: number; readonly rung: number }
  /** Let nothing follow the present lap. */
  | { readonly kind: 'unqueue' }
  /** Fade out: the climb is paused. */
  | { readonly kind: 'halt'; readonly reason: PauseReason }
  /** Append one entry for this pass; `state.passes` holds the rest. */
  | {
      readonly kind: 'log';
      readonly pass: number;
      readonly verdict: PassVerdict;
      readonly source: ClimbSource;
    }
  /** Append an amendment to the entry of this pass. */
  | {
      readonly kind: 'amend';
      readonly pass: number;
      readonly verdict: PassVerdict;
      readonly source: ClimbSource;
    }
  /** A foothold moved; for the eye and the spoken announcement. */
  | {
      readonly kind: 'moved';
      readonly move: 'climbed' | 'dropped';
      readonly side: Side;
      readonly rung: number;
      /** More than one at a time, after a run of clean passes. */
      readonly by?: number;
    }
  /** The miss stands: ask where it broke and offer a step, in silence. */
  | { readonly kind: 'ask'; readonly pass: number }
  /** Keep where it broke with the entry of this pass. */
  | {
      readonly kind: 'mark';
      readonly pass: number;
      readonly place: BreakPlace | null;
      readonly source: ClimbSource;
    }
  /** Leave for a drill or a piece, and tell `back` when it is over. */
  | { readonly kind: 'detour'; readonly answer: Extract<Answer, { kind: 'drill' | 'piece' }> }
  /** Offer to stop for now: so many judged passes on this rung in this climb, and not past it. */
  | { readonly kind: 'suggest'; readonly rung: number; readonly passes: number }
  | { readonly kind: 'finished'; readonly reason: StopReason };

/** `ignored` says in one sentence why an event changed nothing. */
export interface ClimbStep {
  readonly state: ClimbState;
  readonly effects: readonly ClimbEffect[];
  readonly ignored?: string;
}
