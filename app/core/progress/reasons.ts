// Why a unit stands in today's plan, the weightiest reason first.
import type { Bpm, Share } from '../base/units.ts';
import type { Assignment } from './assignment.ts';
import { owns } from './owns.ts';
import type { UnitStanding } from './standing.ts';

/** A unit that could be practised today. */
export interface Candidate {
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: { readonly key: string; readonly name: string };
  readonly standing: UnitStanding;
  readonly assignment?: Assignment;
  /** Played before, but its bars were changed since: its figures begin anew. */
  readonly changed?: true;
  /** Its chart has other bars here than were set, or passes were played on such. */
  readonly otherBars?: { readonly differs: boolean; readonly passes: number };
  /** The change that broke most lately, by the ear or by the player's own marks, and how often. */
  readonly breaks?: { readonly from: string; readonly to: string; readonly times: number };
  /** Its hardest change; `hardness` is the fretboard's cost per second, which only ranks. */
  readonly hardest?: { readonly from: string; readonly to: string; readonly hardness: number };
}

export type Reason =
  /** Its date has passed; `settled` from the second week on, when it comes round like the others. */
  | {
      readonly kind: 'overdue';
      readonly days: number;
      readonly target: Bpm;
      readonly settled: boolean;
    }
  | {
      readonly kind: 'cannot-meet';
      readonly days: number;
      readonly target: Bpm;
      readonly expected: Bpm;
      readonly high: Bpm;
    }
  | { readonly kind: 'due'; readonly days: number; readonly target: Bpm }
  | { readonly kind: 'minutes'; readonly done: number; readonly asked: number }
  | { readonly kind: 'slipping'; readonly from: Bpm; readonly to: Bpm }
  | { readonly kind: 'standing-still'; readonly level: Bpm }
  /** Played yesterday or the day before: the first pass today shows what stayed. */
  | { readonly kind: 'see-what-stayed'; readonly days: number }
  | { readonly kind: 'long-ago'; readonly days: number }
  | { readonly kind: 'new' }
  | { readonly kind: 'changed' }
  | { readonly kind: 'other-bars'; readonly differs: boolean; readonly passes: number }
  | { readonly kind: 'played-today' }
  /** A change in it broke again and again lately. */
  | { readonly kind: 'breaks'; readonly from: string; readonly to: string; readonly times: number }
  /** Its hardest change is among the hardest quarter of today's candidates. */
  | { readonly kind: 'tight'; readonly from: string; readonly to: string }
  /** Target owned; looked at now and then so that it stays. */
  | { readonly kind: 'keep'; readonly days: number; readonly again: number };

/** From here on a unit counts as long untouched (our choice). */
const LONG_AGO = 4;
/** Candidates below this share of hardness are not called tight. */
const TIGHT: Share = 0.75;
/** From so many times on a change that broke is worth a word (our choice). */
const OFTEN = 2;
/** Days after which an overdue unit presses no longer: a date that was missed is no reason to drop the rest. Our choice. */
export const OVERDUE_PRESSES = 7;

/** The hardness from which on a candidate belongs to the hardest quarter; Infinity where too few are known. */
export function hardestQuarter(candidates: readonly Candidate[]): number {
  const known = candidates.flatMap(({ hardest }) => hardest?.hardness ?? []).sort((a, b) => a - b);
  return known.length < 2 ? Infinity : known[Math.ceil(TIGHT * (known.length - 1))]!;
}

/** Weightiest first; at least one. @param hardFrom hardness that counts as tight today. */
export function reasonsFor(candidate: Candidate, hardFrom = Infinity): Reason[] {
  const { standing, hardest, breaks, otherBars } = candidate;
  const other: Reason[] = otherBars ? [{ kind: 'other-bars', ...otherBars }] : [];
  if (owns(standing.owned, standing.target)) {
    return [...other, { kind: 'keep', days: standing.daysSince ?? 0, again: keepGap(standing) }];
  }
  return [
    ...other,
    ...dateReasons(standing),
    ...courseReasons(standing),
    ...playedReason(candidate),
    ...minuteReasons(candidate),
    ...(breaks && breaks.times >= OFTEN ? [{ kind: 'breaks', ...breaks } as const] : []),
    ...(hardest && hardest.hardness >= hardFrom
      ? [{ kind: 'tight', from: hardest.from, to: hardest.to } as const]
      : []),
  ];
}

/** An owned unit comes back after twice the days it was last left alone, within these (common practice, no source). */
const LEAST_KEEP = 3;
const MOST_KEEP = 32;

/** Days after which an owned unit comes back. */
export const keepGap = ({ lastGap = 1 }: UnitStanding): number =>
  Math.min(MOST_KEEP, Math.max(LEAST_KEEP, 2 * lastGap));

function dateReasons({ outlook, target }: UnitStanding): Reason[] {
  switch (outlook?.kind) {
    case undefined:
    case 'reached':
      return [];
    case 'overdue': {
      const { days } = outlook;
      return [{ kind: 'overdue', days, target, settled: days > OVERDUE_PRESSES }];
    }
    case 'out-of-reach': {
      const { middle, high } = outlook.expected;
      return [{ kind: 'cannot-meet', days: outlook.days, target, expected: middle, high }];
    }
    case 'unknown':
    case 'in-doubt':
    case 'on-course':
      return [{ kind: 'due', days: outlook.days, target }];
  }
}

function courseReasons({ forecast }: UnitStanding): Reason[] {
  if (forecast.kind === 'slipping') {
    return [{ kind: 'slipping', from: forecast.from, to: forecast.to }];
  }
  return forecast.kind === 'plateau' ? [{ kind: 'standing-still', level: forecast.level }] : [];
}

function minuteReasons({ assignment, standing }: Candidate): Reason[] {
  const asked = assignment?.terms.minutesPerWeek;
  const done = standing.minutesThisWeek;
  return asked !== undefined && done < asked ? [{ kind: 'minutes', done, asked }] : [];
}

function playedReason({ standing: { daysSince }, changed, otherBars }: Candidate): Reason[] {
  if (changed) return [{ kind: 'changed' }];
  // What was played on other bars is said already.
  if (daysSince === undefined) return otherBars?.passes ? [] : [{ kind: 'new' }];
  if (daysSince === 0) return [{ kind: 'played-today' }];
  return [{ kind: daysSince >= LONG_AGO ? 'long-ago' : 'see-what-stayed', days: daysSince }];
}
