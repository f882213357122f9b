// What to practise today, in order, with a reason for each line; and what a due date asks for.
import type { Bpm, Share } from '../base/units.ts';
import type { Assignment } from './assignment.ts';
import { owns } from './forecast.ts';
import type { UnitStanding } from './standing.ts';

/** A unit that could be practised today. */
export interface Candidate {
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: { readonly key: string; readonly name: string };
  readonly standing: UnitStanding;
  readonly assignment?: Assignment;
  /** Played before, but its bars were changed since: its figures begin anew. */
  readonly changed?: true;
  /** Its hardest change; `hardness` is the fretboard's cost per second, which only ranks. */
  readonly hardest?: { readonly from: string; readonly to: string; readonly hardness: number };
}

export type Reason =
  | { readonly kind: 'overdue'; readonly days: number; readonly target: Bpm }
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
  | { readonly kind: 'played-today' }
  /** Its hardest change is among the hardest quarter of today's candidates. */
  | { readonly kind: 'tight'; readonly from: string; readonly to: string }
  /** Target owned; looked at now and then so that it stays. */
  | { readonly kind: 'keep'; readonly days: number };

export interface PlanLine {
  readonly candidate: Candidate;
  readonly minutes: number;
  /** Weightiest first; at least one. */
  readonly reasons: readonly Reason[];
}

export interface Plan {
  readonly lines: readonly PlanLine[];
  /** What did not fit or needs nothing today, same order. */
  readonly later: readonly PlanLine[];
}

/** Shortest useful go at a unit, and the usual one, in minutes (common practice, no source). */
const SHORTEST = 4;
const USUAL = 10;
/** An owned unit is looked at again after this many days (common practice, no source). */
const KEEP_AFTER = 10;
/** From here on a unit counts as long untouched (our choice). */
const LONG_AGO = 4;
/** Candidates below this share of hardness are not called tight. */
const TIGHT: Share = 0.75;

/**
 * Lines in order of weight until the minutes are used up. An order to begin with, not a proof of the
 * best one: the player may change it. @param minutes available, 0 or more.
 */
export function planToday(candidates: readonly Candidate[], minutes: number): Plan {
  const hardFrom = hardestQuarter(candidates);
  const ranked = candidates
    .map((candidate) => ({ candidate, reasons: reasonsFor(candidate, hardFrom) }))
    .map((line) => ({ ...line, weight: weigh(line.reasons) }))
    .sort((a, b) => b.weight - a.weight || nameOf(a).localeCompare(nameOf(b), 'en'));
  const lines: PlanLine[] = [];
  const later: PlanLine[] = [];
  let left = minutes;
  for (const { candidate, reasons, weight } of ranked) {
    const wanted = minutesFor(candidate);
    const given = Math.min(wanted, left);
    if (weight > 0 && given >= Math.min(SHORTEST, wanted)) {
      lines.push({ candidate, reasons, minutes: given });
      left -= given;
    } else {
      later.push({ candidate, reasons, minutes: wanted });
    }
  }
  return { lines, later };
}

const nameOf = ({ candidate }: { candidate: Candidate }): string =>
  `${candidate.chart.title}\n${candidate.unit.name}`;

/** What the week still lacks, between the shortest and twice the usual go; the usual one where nothing is asked. */
function minutesFor({ assignment, standing }: Candidate): number {
  const asked = assignment?.terms.minutesPerWeek;
  if (owns(standing.owned, standing.target)) return SHORTEST;
  if (asked === undefined) return USUAL;
  const lacking = Math.ceil((asked - standing.minutesThisWeek) / 2);
  return Math.min(2 * USUAL, Math.max(SHORTEST, lacking));
}

/** The hardness from which on a candidate belongs to the hardest quarter; Infinity where too few are known. */
function hardestQuarter(candidates: readonly Candidate[]): number {
  const known = candidates.flatMap(({ hardest }) => hardest?.hardness ?? []).sort((a, b) => a - b);
  return known.length < 2 ? Infinity : known[Math.ceil(TIGHT * (known.length - 1))]!;
}

/** Weightiest first; at least one. @param hardFrom hardness that counts as tight today. */
export function reasonsFor(candidate: Candidate, hardFrom = Infinity): Reason[] {
  const { standing, hardest } = candidate;
  if (owns(standing.owned, standing.target)) {
    return [{ kind: 'keep', days: standing.daysSince ?? 0 }];
  }
  const reasons: Reason[] = [
    ...dateReasons(standing),
    ...courseReasons(standing),
    ...minuteReasons(candidate),
    ...(hardest && hardest.hardness >= hardFrom
      ? [{ kind: 'tight', from: hardest.from, to: hardest.to } as const]
      : []),
    candidate.changed ? { kind: 'changed' } : playedReason(standing),
  ];
  return reasons.sort((a, b) => weightOf(b) - weightOf(a));
}

function dateReasons({ outlook, target }: UnitStanding): Reason[] {
  switch (outlook?.kind) {
    case undefined:
    case 'reached':
      return [];
    case 'overdue':
      return [{ kind: 'overdue', days: outlook.days, target }];
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

function playedReason({ daysSince }: UnitStanding): Reason {
  if (daysSince === undefined) return { kind: 'new' };
  if (daysSince === 0) return { kind: 'played-today' };
  return { kind: daysSince >= LONG_AGO ? 'long-ago' : 'see-what-stayed', days: daysSince };
}

/** Points per reason: an order among reasons that most teachers would give, no source. They add up. */
function weightOf(reason: Reason): number {
  switch (reason.kind) {
    case 'overdue':
      return 95;
    case 'cannot-meet':
      return 55 + soon(reason.days);
    case 'due':
      return 15 + soon(reason.days);
    case 'minutes':
      return 15 * (1 - reason.done / reason.asked);
    case 'slipping':
      return 25;
    case 'see-what-stayed':
      return 18;
    case 'new':
    case 'changed':
      return 16;
    case 'long-ago':
      return 14 + Math.min(reason.days, 14) / 2;
    case 'standing-still':
      return 12;
    case 'tight':
      return 10;
    case 'keep':
      return reason.days >= KEEP_AFTER ? 8 : 0;
    case 'played-today':
      return 0;
  }
}

/** Up to 35 points on the due date, halved every four days before it. */
const soon = (days: number): number => 35 * 2 ** (-days / 4);

const weigh = (reasons: readonly Reason[]): number =>
  reasons.reduce((sum, reason) => sum + weightOf(reason), 0);
