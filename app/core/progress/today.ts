// What to practise today: a spaced rotation, with a reason for each line. An order to begin with, no proof.
//
// A 24-hour gap helps, and gains from spaced over massed practice grow with the time that is to be bridged
// (Simmons 2011, JRME 59; Cepeda et al. 2006, 2008; see the state of the literature in the handbook). So:
// what has waited a full round comes first, then what is new, then what presses or has waited longest for
// its wish; what was practised yesterday is looked at briefly; what is owned comes back at widening gaps.
// What is due tomorrow, or today without a turn yesterday, has its turn before all that. Of the turns that fit, those with a date within a week
// stand first, in the order of their dates; what is due and has no turn is told with why.
import { owns } from './owns.ts';
import {
  type Candidate,
  hardestQuarter,
  keepGap,
  OVERDUE_PRESSES,
  type Reason,
  reasonsFor,
} from './reasons.ts';
import type { UnitStanding } from './standing.ts';

export type { Candidate, Reason } from './reasons.ts';

export interface PlanLine {
  readonly candidate: Candidate;
  readonly minutes: number;
  /** A look: does it still stand? Otherwise a turn, to work on it. */
  readonly look: boolean;
  /** Weightiest first; at least one. */
  readonly reasons: readonly Reason[];
}

export interface Plan {
  readonly lines: readonly PlanLine[];
  /** What did not fit or needs nothing today; what has waited longest first. */
  readonly later: readonly PlanLine[];
  /** Due within a week and worked on today no more: with more minutes or another day; what is due first comes first. */
  readonly waiting: readonly PlanLine[];
  /** Days in which every unit that is not yet owned gets a turn at this many minutes a day. */
  readonly round: number;
}

/** Shortest useful turn, the usual one, the longest, and a look, in minutes (common practice, no source). */
export const SHORTEST_TURN = 5;
const USUAL = 10;
const LONGEST = 20;
const LOOK = 2;
/** Share of the minutes that looks may take while turns are waiting. */
const LOOKS_SHARE = 0.2;

/** A unit with what it asks for today. */
interface Claim {
  readonly candidate: Candidate;
  readonly reasons: readonly Reason[];
  /** Days since its last turn; Infinity for what is new. */
  readonly waited: number;
  /** Days it should wait between turns. */
  readonly gap: number;
  /** Would like more than the usual minutes: a date is near, or the week's minutes are not done. */
  readonly pressing: boolean;
  /** Days to its date where that is within a week, negative where it has passed as lately; undefined otherwise. */
  readonly dueIn: number | undefined;
  /** In the order it was given: what is due first, then as it was set. */
  readonly place: number;
  readonly state: 'open' | 'new' | 'keep' | 'done';
}

/** @param minutes available, 0 or more. The lines never take more. */
export function planToday(candidates: readonly Candidate[], minutes: number): Plan {
  const hardFrom = hardestQuarter(candidates);
  const claims = candidates.map((candidate, i) => claimOf(candidate, hardFrom, i));
  const open = claims.filter(({ state }) => state === 'open' || state === 'new');
  const round = minutes > 0 ? Math.ceil((open.length * SHORTEST_TURN) / minutes) : 0;
  const turns = turnsOf(claims, round);
  const looks = looksOf(claims, turns.due);
  const given = share(turns, looks, minutes);
  const has = (claim: Claim): boolean => given.has(claim);
  const lines = [
    ...turns.all.filter((claim) => has(claim) && claim.dueIn !== undefined).sort(byDue),
    ...looks.filter(has),
    ...turns.all.filter((claim) => has(claim) && claim.dueIn === undefined),
  ].map((claim) => {
    const minutes = given.get(claim)!;
    const short = looks.includes(claim) && minutes < SHORTEST_TURN;
    return short ? lookOf(claim, minutes) : turnOf(claim, minutes);
  });
  const later = claims
    .filter((claim) => !given.has(claim))
    .sort(byState)
    .map((claim) => turnOf(claim, claim.state === 'keep' ? LOOK : SHORTEST_TURN));
  const waiting = claims
    .filter((claim) => claim.dueIn !== undefined && !given.has(claim))
    .sort(byDue)
    .map((claim) => turnOf(claim, SHORTEST_TURN));
  return { lines, later, waiting, round };
}

const turnOf = ({ candidate, reasons }: Claim, minutes: number): PlanLine => ({
  candidate,
  minutes,
  look: false,
  reasons,
});

const lookOf = (claim: Claim, minutes: number): PlanLine => ({
  ...turnOf(claim, minutes),
  look: true,
});

function claimOf(candidate: Candidate, hardFrom: number, place: number): Claim {
  const { standing, changed } = candidate;
  const reasons = reasonsFor(candidate, hardFrom);
  const waited = standing.daysSinceTurn ?? standing.daysSince ?? Infinity;
  const pressing = presses(candidate);
  const idle = { candidate, reasons, waited, pressing, place, dueIn: undefined };
  if (standing.daysSince === 0) return { ...idle, gap: 1, state: 'done' };
  if (owns(standing.owned, standing.target)) {
    return { ...idle, gap: keepGap(standing), state: 'keep' };
  }
  const claim = { ...idle, dueIn: dueSoon(standing) };
  if (standing.daysSince === undefined || changed) return { ...claim, gap: 1, state: 'new' };
  return { ...claim, gap: gapOf(standing, claim.pressing), state: 'open' };
}

/** A date within this many days presses (common practice, no source). */
const SOON = 7;

function presses({ standing, assignment }: Candidate): boolean {
  const { outlook, minutesThisWeek } = standing;
  const asked = assignment?.terms.minutesPerWeek ?? 0;
  if (minutesThisWeek < asked) return true;
  switch (outlook?.kind) {
    case 'overdue':
      return outlook.days <= OVERDUE_PRESSES;
    case 'unknown':
    case 'in-doubt':
    case 'on-course':
      return outlook.days <= SOON;
    default:
      return false;
  }
}

function dueSoon({ outlook }: UnitStanding): number | undefined {
  if (!outlook || outlook.kind === 'reached') return undefined;
  switch (outlook.kind) {
    case 'overdue':
      return outlook.days <= OVERDUE_PRESSES ? -outlook.days : undefined;
    default:
      return outlook.days <= SOON ? outlook.days : undefined;
  }
}

/** Every day where it presses or slips; every other day as a rule; a day more where it stands still. */
function gapOf({ forecast }: UnitStanding, pressing: boolean): number {
  if (pressing || forecast.kind === 'slipping') return 1;
  return forecast.kind === 'plateau' ? 3 : 2;
}

/** Due tomorrow; or today, and not worked on yesterday. */
const isNext = ({ dueIn, waited }: Claim): boolean => dueIn === 1 || (dueIn === 0 && waited > 1);

interface Turns {
  /** In the order of their claim. */
  readonly all: readonly Claim[];
  /** How many of them cannot wait: due next, a full round has passed, or they are new. */
  readonly due: readonly Claim[];
}

/** Waits longer than this many times go even before what is new, so that new units never starve the old. */
const TOO_LATE = 2;
/** A little over a round may pass before a unit goes first: room for days off and for what presses. */
const waitsFor = (round: number): number => round + Math.floor(round / 4);

function turnsOf(claims: readonly Claim[], round: number): Turns {
  const next = claims.filter(isNext).sort(byDue);
  const open = claims.filter((claim) => claim.state === 'open' && !next.includes(claim));
  const limit = Math.max(1, waitsFor(round));
  const late = open.filter(({ waited }) => waited > TOO_LATE * limit).sort(byWait);
  const overdue = open
    .filter(({ waited }) => waited >= limit && waited <= TOO_LATE * limit)
    .sort(byWait);
  const fresh = claims
    .filter((claim) => claim.state === 'new' && !next.includes(claim))
    .sort(byDate);
  const ready = open
    .filter(({ waited, gap }) => waited < limit && waited >= gap)
    .sort((a, b) => b.waited / b.gap - a.waited / a.gap || byName(a, b));
  const due = [...next, ...late, ...fresh, ...overdue];
  return { all: [...due, ...ready], due };
}

/** What was practised yesterday and has no turn, and what is owned and due back. */
function looksOf(claims: readonly Claim[], due: readonly Claim[]): readonly Claim[] {
  const keep = claims.filter(
    ({ state, candidate, gap }) => state === 'keep' && (candidate.standing.daysSince ?? 0) >= gap,
  );
  const fresh = claims.filter(
    (claim) =>
      claim.state === 'open' &&
      claim.candidate.standing.daysSince === 1 &&
      claim.waited < claim.gap &&
      !due.includes(claim),
  );
  return [...keep.sort(byWait), ...fresh.sort(byName)];
}

/** Minutes for each line that gets any; the sum is at most `minutes`. */
function share(turns: Turns, looks: readonly Claim[], minutes: number): Map<Claim, number> {
  const given = new Map<Claim, number>();
  let left = minutes;
  const give = (claim: Claim, wanted: number): void => {
    const more = Math.min(wanted, left);
    if (more <= 0) return;
    given.set(claim, (given.get(claim) ?? 0) + more);
    left -= more;
  };
  const begin = (claims: readonly Claim[], length: number): void => {
    for (const claim of claims) if (left >= length) give(claim, length);
  };
  begin(turns.due, SHORTEST_TURN);
  const forLooks = Math.min(left, Math.max(LOOK, LOOKS_SHARE * minutes));
  const reserved = looks.slice(0, Math.floor(forLooks / LOOK));
  if (turns.due.every((claim) => given.has(claim))) begin(reserved, LOOK);
  begin(
    turns.all.filter((claim) => !given.has(claim)),
    SHORTEST_TURN,
  );
  begin(
    looks.filter((claim) => !given.has(claim)),
    LOOK,
  );
  const worked = turns.all.filter((claim) => given.has(claim));
  stretch(
    worked.filter(({ pressing }) => pressing),
    USUAL,
    given,
    give,
    () => left,
  );
  stretch(worked, USUAL, given, give, () => left);
  stretch(worked, LONGEST, given, give, () => left);
  // Minutes that nobody needs more make looks into turns.
  const looked = looks.filter((claim) => given.has(claim) && claim.state === 'open');
  stretch(looked, USUAL, given, give, () => left);
  // Fewer minutes than a turn are one short go at what comes first.
  const first = turns.all[0] ?? looks[0];
  if (given.size === 0 && first) give(first, left);
  return given;
}

/** A minute each in turn, until all have `most` or nothing is left. */
function stretch(
  claims: readonly Claim[],
  most: number,
  given: ReadonlyMap<Claim, number>,
  give: (claim: Claim, minutes: number) => void,
  left: () => number,
): void {
  for (let open = claims; open.length > 0 && left() > 0;) {
    open = open.filter((claim) => given.get(claim)! < most);
    for (const claim of open) give(claim, Math.min(1, most - given.get(claim)!));
  }
}

const byWait = (a: Claim, b: Claim): number =>
  b.waited - a.waited || Number(b.pressing) - Number(a.pressing) || byName(a, b);

/** What is due first is begun first; of one date, or without any, what was set keeps the order in which it was set. */
const byDate = (a: Claim, b: Claim): number =>
  dueDays(a) - dueDays(b) || Number(b.pressing) - Number(a.pressing) || bySetting(a, b);

/** Both within a week. */
const byDue = (a: Claim, b: Claim): number => a.dueIn! - b.dueIn! || bySetting(a, b);

const bySetting = (a: Claim, b: Claim): number =>
  a.candidate.assignment && b.candidate.assignment ? a.place - b.place : byName(a, b);

const NEVER = 1e6;
function dueDays({ candidate }: Claim): number {
  const { outlook } = candidate.standing;
  if (!outlook || outlook.kind === 'reached') return NEVER;
  return outlook.kind === 'overdue' ? -outlook.days : outlook.days;
}

const STATES: readonly Claim['state'][] = ['new', 'open', 'keep', 'done'];
const byState = (a: Claim, b: Claim): number =>
  STATES.indexOf(a.state) - STATES.indexOf(b.state) || byWaitSafe(a, b);
/** Infinity − Infinity is no order. */
const byWaitSafe = (a: Claim, b: Claim): number =>
  (a.waited === b.waited ? 0 : b.waited - a.waited) || byName(a, b);

const nameOf = ({ candidate }: Claim): string => `${candidate.chart.title}\n${candidate.unit.name}`;
const byName = (a: Claim, b: Claim): number => nameOf(a).localeCompare(nameOf(b), 'en');
