// Who on the desk needs help first, and why: from where each assignment stands.
import type { IsoDate } from '../base/units.ts';
import { dayNumber, localDate } from '../log/days.ts';
import type { OtherBars } from './as-set.ts';
import type { Assignment } from './assignment.ts';
import { owns } from './owns.ts';
import type { UnitStanding } from './standing.ts';

export interface Placed {
  readonly assignment: Assignment;
  readonly standing: UnitStanding;
  /** Passes on other bars than were set; they are not in `standing`. */
  readonly other: readonly OtherBars[];
  /** Passes on other bars that count, since the teacher accepts them. */
  readonly accepted: readonly OtherBars[];
}

export type HelpReason =
  | { readonly kind: 'slipping' }
  /** What was played last is not what was set. */
  | { readonly kind: 'other-bars'; readonly passes: number }
  | { readonly kind: 'out-of-reach'; readonly days: number }
  | { readonly kind: 'overdue'; readonly days: number }
  | { readonly kind: 'plateau' }
  | { readonly kind: 'mostly-missed'; readonly shareClean: number }
  | { readonly kind: 'silent'; readonly days: number }
  | { readonly kind: 'not-begun' };

export interface HelpNeed {
  readonly placed: Placed;
  readonly reason: HelpReason;
}

/** Below this share of clean passes the tempo is too high to learn from (our choice; compare Duke, Simmons & Cash 2009 on the share of correct passes). */
const MOSTLY_MISSED = 0.5;
/** Days without a pass that are worth a word. */
const SILENT_DAYS = 7;

/** What a teacher can do most about comes first (our order, no source). */
const ORDER: readonly HelpReason['kind'][] = [
  'other-bars',
  'overdue',
  'out-of-reach',
  'slipping',
  'mostly-missed',
  'plateau',
  'silent',
  'not-begun',
];

/** The one weightiest need of each assignment that has any, weightiest first. */
export function needsOf(placed: readonly Placed[], today: IsoDate): HelpNeed[] {
  return placed
    .flatMap((one) => {
      const reason = needOf(one, today);
      return reason ? [{ placed: one, reason }] : [];
    })
    .sort((a, b) => rank(a.reason) - rank(b.reason));
}

/** Sorts students: those with the weightiest need first, then by the number of needs. */
export function compareNeeds(a: readonly HelpNeed[], b: readonly HelpNeed[]): number {
  const first = (needs: readonly HelpNeed[]): number =>
    needs[0] ? rank(needs[0].reason) : ORDER.length;
  return first(a) - first(b) || b.length - a.length;
}

const rank = (reason: HelpReason): number => ORDER.indexOf(reason.kind);

function needOf({ assignment, standing, other }: Placed, today: IsoDate): HelpReason | undefined {
  const { outlook, forecast, shareClean, daysSince, lastPractised } = standing;
  const last = other[0]?.last;
  if (last !== undefined && (lastPractised === undefined || last > lastPractised)) {
    const passes = other.reduce((sum, bars) => sum + bars.passes, 0);
    return { kind: 'other-bars', passes };
  }
  if (owns(standing.owned, standing.target)) return undefined;
  if (outlook?.kind === 'overdue') return { kind: 'overdue', days: outlook.days };
  if (outlook?.kind === 'out-of-reach') return { kind: 'out-of-reach', days: outlook.days };
  if (forecast.kind === 'slipping') return { kind: 'slipping' };
  if (shareClean !== undefined && shareClean < MOSTLY_MISSED) {
    return { kind: 'mostly-missed', shareClean };
  }
  if (forecast.kind === 'plateau') return { kind: 'plateau' };
  if (daysSince === undefined) {
    return shouldHaveBegun(assignment, today) ? { kind: 'not-begun' } : undefined;
  }
  return daysSince >= SILENT_DAYS ? { kind: 'silent', days: daysSince } : undefined;
}

/** Once half the time to its date has gone, or a week where it has none (ours): nobody is late on the day it is set. */
function shouldHaveBegun({ given, terms: { due } }: Assignment, today: IsoDate): boolean {
  const from = dayNumber(localDate(given));
  const time = due === undefined ? SILENT_DAYS : Math.max(1, (dayNumber(due) - from) / 2);
  return dayNumber(today) - from >= time;
}

/** Without a capital and a full stop: "past its date by 3 days". */
export function sayNeed(reason: HelpReason): string {
  switch (reason.kind) {
    case 'overdue':
      return `past its date by ${reason.days === 1 ? '1 day' : `${reason.days} days`}`;
    case 'out-of-reach':
      return 'will not be there by its date at this pace';
    case 'other-bars':
      return `plays other bars than were set (${reason.passes === 1 ? '1 pass' : `${reason.passes} passes`})`;
    case 'slipping':
      return 'slower than some days before';
    case 'mostly-missed':
      return `only ${Math.round(100 * reason.shareClean)} % clean`;
    case 'plateau':
      return 'stands still';
    case 'silent':
      return `last played ${reason.days} days ago`;
    case 'not-begun':
      return 'not begun';
  }
}
