// The log's one kind of fact: a pass that was played, what was played, and who judged it.
import type { BreakPlace, LoggedBar } from './unit.ts';
import type {
  BeatUnit,
  Bpm,
  Finger,
  IsoTime,
  Midi,
  Milliseconds,
  Seconds,
  Share,
  StringNo,
} from '../base/units.ts';

export const VERDICTS = ['clean', 'missed'] as const;
export type Verdict = (typeof VERDICTS)[number];

/** 'unjudged': played to the end, but nobody said how it went. */
export const PASS_VERDICTS = [...VERDICTS, 'unjudged'] as const;
export type PassVerdict = (typeof PASS_VERDICTS)[number];

/** Who judged. A self-report is never shown as a measurement. */
export type VerdictSource = (typeof VERDICT_SOURCES)[number];
/** Who can judge while the climb is on. */
export const CLIMB_SOURCES = ['self', 'ear', 'pedal'] as const;
export type ClimbSource = (typeof CLIMB_SOURCES)[number];

export const VERDICT_SOURCES = [...CLIMB_SOURCES, 'teacher'] as const;

/** When a change came, against the moment it was due. */
export const TIMINGS = ['on-time', 'early', 'late', 'silent', 'unsure'] as const;
export type Timing = (typeof TIMINGS)[number];
/** What was heard where a chord was due. */
export const HEARD_CHORDS = ['right', 'held', 'other', 'muted', 'silent', 'unsure'] as const;
export type HeardChord = (typeof HEARD_CHORDS)[number];

/** Where the player said that a pass broke. */
export interface Broke extends BreakPlace {
  readonly by: ClimbSource;
}

/** Steps after a miss that lead to another pass: the same again, slower, or back from a drill, a piece, a break. */
export const STEPS_TAKEN = ['again', 'slower', 'drill', 'piece', 'break'] as const;
export type StepTaken = (typeof STEPS_TAKEN)[number];
/** Short ways off a climb. */
export const DETOURS = ['drill', 'piece'] as const;

/** What the ear heard at one change; absent fields could not be told. */
export interface ChangeHeard extends BreakPlace {
  /** Positive is late. */
  readonly offset?: Milliseconds;
  readonly timing: Timing;
  readonly chord: HeardChord;
  /** The chord heard when `chord` is 'other', by its fingered name. */
  readonly heard?: string;
  /** Strings of the shape that did not sound, where the ear is sure of them. */
  readonly dead?: readonly StringNo[];
  /** The finger that holds each of these, in the same order; null on an open string. */
  readonly fingers?: readonly (Finger | null)[];
  /** The one pitch that sounded too many, where all else was right; fingered, like the names. */
  readonly extra?: Midi;
  /** The string that sounded it open, where the shape leaves it out, or holds it down and it is among the `dead`. */
  readonly ringing?: StringNo;
  readonly confidence: Share;
}

/** A change as it counts: by hand where the player's own word stands above the ear's. */
export interface ChangeTold extends ChangeHeard {
  readonly byHand?: true;
}

/** The unit as it was when played, kept once per fingerprint: later edits never falsify history. */
export interface PlayedUnit {
  readonly fingerprint: string;
  readonly bars: readonly LoggedBar[];
}

export interface PassRecord {
  readonly id: string;
  /** When the pass ended. */
  readonly at: IsoTime;
  /** One sitting with the program, and one go at a ladder within it. */
  readonly session: string;
  readonly climb: string;
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: { readonly key: string; readonly name: string; readonly fingerprint: string };
  readonly rung: {
    readonly bpm: Bpm;
    readonly beat: BeatUnit;
    /** 0-based rung and number of rungs of the ladder. */
    readonly index: number;
    readonly of: number;
    readonly target: Bpm;
  };
  /** 'unjudged': played to the end, but nobody said how it went. It counts as time, never as a result. */
  readonly verdict: PassVerdict;
  readonly source: VerdictSource;
  /** The ear's own verdict where somebody overruled it. */
  readonly earVerdict?: Verdict;
  /** First pass of this unit on this calendar day. */
  readonly cold: boolean;
  /** Length of the unit's bars at this tempo. */
  readonly duration: Seconds;
  readonly changes?: readonly ChangeHeard[];
  /** Changes, by their number in the unit, that the player says were played as due, whatever the ear heard. */
  readonly played?: readonly number[];
  /** Where it broke, as the player said; absent where nobody did. */
  readonly broke?: Broke;
  /** The step after a miss that led to this pass. */
  readonly after?: StepTaken;
  /** Played as the drill or the shorter piece that answered a miss. */
  readonly within?: (typeof DETOURS)[number];
  /** An audio underrun fell into the pass; it is never held against the player. */
  readonly underrun?: true;
  /** In a settled pass: the teacher's latest word on it. `verdict` and `source` follow it until it is taken back. */
  readonly word?: TeachersWord & { readonly before: Judgement };
}

/** Of a pass what a level is read from. */
export type LevelPass = Pick<
  PassRecord,
  'at' | 'verdict' | 'source' | 'cold' | 'duration' | 'underrun'
> & {
  readonly unit: Pick<PassRecord['unit'], 'fingerprint'>;
  readonly rung: Pick<PassRecord['rung'], 'bpm' | 'beat'>;
};

/** The same with its place on the ladder: what a course of tempos is drawn of. */
export type BriefPass = LevelPass & { readonly rung: Pick<PassRecord['rung'], 'index'> };

export type Judgement = Pick<PassRecord, 'verdict' | 'source'>;

/** A later word on an earlier pass. The pass itself stays. */
export type Amendment = PlayersWord | WordOnPass;

/** The player undid or overruled the verdict. */
export interface PlayersWord {
  readonly amends: string;
  readonly at: IsoTime;
  readonly verdict: PassVerdict;
  readonly source: ClimbSource;
  /** One more than that of every word on the pass that was known when it was said; absent in old logs. */
  readonly turn?: number;
  /** Where it broke; a later word without a place takes it back. */
  readonly broke?: Broke;
  /** Changes played as due; a later word without them takes that back. */
  readonly played?: readonly number[];
}

/** What a teacher says to a pass: it stands above all that was judged on the student's side. */
export interface TeachersWord {
  readonly at: IsoTime;
  /** 'as-before' takes the teacher's word back. */
  readonly verdict: Verdict | 'as-before';
  readonly source: 'teacher';
  /** How they call themselves. */
  readonly by?: string;
  readonly remark?: string;
}

export type WordOnPass = TeachersWord & { readonly amends: string };

export type LogEntry =
  | { readonly kind: 'pass'; readonly pass: PassRecord; readonly unit: PlayedUnit }
  | { readonly kind: 'amendment'; readonly amendment: Amendment };
