// From the changes of a pass to one verdict, by a rule the teacher can set.
import { isTold } from '../log/told.ts';
import type { ChangeTold, Timing, Verdict } from '../model/pass.ts';
import type { Milliseconds, Seconds, Share } from '../base/units.ts';

export type TimeWindow =
  | { readonly kind: 'ms'; readonly ms: Milliseconds }
  /** Share of one beat at the tempo of the pass. */
  | { readonly kind: 'beat'; readonly share: Share };

export interface VerdictRule {
  /** How many of the changes that could be told must be right and in time, 0.5–1. */
  readonly share: Share;
  /** How far from its moment a change may come, to either side. */
  readonly window: TimeWindow;
}

/** One change in ten may slip; an eighth of a beat is 125 ms at 60 bpm and 47 ms at 160. Ours, to be set. */
export const USUAL_RULE: VerdictRule = { share: 0.9, window: { kind: 'beat', share: 0.125 } };

/**
 * How far apart two players are heard: *tight* within max(6 ms, 2.5 % of the beat)
 * (Friberg & Sundberg 1995), *together* within 35 ms (PsyArXiv jsg94_v3), *apart* beyond.
 */
export type Band = 'tight' | 'together' | 'apart';

export const TOGETHER: Milliseconds = 35;

/** The word for an offset, positive being late; up to `most` to either side it is in time. */
export function timingOf(
  offset: Milliseconds,
  most: Milliseconds = TOGETHER,
): Extract<Timing, 'on-time' | 'early' | 'late'> {
  if (Math.abs(offset) <= most) return 'on-time';
  return offset < 0 ? 'early' : 'late';
}

/** The {@link Band} in which an offset lies, early or late. @param beat one beat at the pass's tempo */
export function bandOf(offset: Milliseconds, beat: Seconds): Band {
  const off = Math.abs(offset);
  if (off <= Math.max(6, 25 * beat)) return 'tight';
  return off <= TOGETHER ? 'together' : 'apart';
}

/** Half the width of the window, in milliseconds. */
export const windowOf = (rule: VerdictRule, beat: Seconds): Milliseconds =>
  rule.window.kind === 'ms' ? rule.window.ms : rule.window.share * beat * 1000;

export interface PassHeard {
  /** Null: too much could not be told, and the player's own word is asked for. */
  readonly verdict: Verdict | null;
  readonly held: number;
  readonly judged: number;
  readonly unsure: number;
}

/** More than this share of "can't tell", and the ear gives no verdict. */
const MOST_UNSURE: Share = 1 / 3;

/**
 * What a pass amounts to by the rule; changes that could not be told count for nothing. @param beat at the pass's
 * tempo
 */
export function passVerdict(
  changes: readonly ChangeTold[],
  rule: VerdictRule,
  beat: Seconds,
): PassHeard {
  const known = changes.filter(isTold);
  const held = known.filter((change) => holds(change, rule, beat)).length;
  const unsure = changes.length - known.length;
  const enough = known.length > 0 && unsure <= MOST_UNSURE * changes.length;
  const clean = held >= rule.share * known.length - 1e-9;
  const verdict = !enough ? null : clean ? 'clean' : 'missed';
  return { verdict, held, judged: known.length, unsure };
}

/** Right chord, in the window; or the player says so. */
export function holds(change: ChangeTold, rule: VerdictRule, beat: Seconds): boolean {
  if (change.byHand) return change.chord === 'right';
  if (change.chord !== 'right' || change.offset === undefined) return false;
  return Math.abs(change.offset) <= windowOf(rule, beat) + 1e-9;
}
