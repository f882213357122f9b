// A month of today's plans, followed to the letter: who waits how long, when new units come, minutes kept.
import type { Assignment } from '../../../app/core/progress/assignment.ts';
import type { OwnedTempo } from '../../../app/core/progress/owned-tempo.ts';
import type { UnitStanding } from '../../../app/core/progress/standing.ts';
import { type Candidate, planToday, SHORTEST_TURN } from '../../../app/core/progress/today.ts';
import { dice, type Roll } from './players.ts';

export interface Month {
  readonly units: number;
  readonly minutes: number;
  readonly daysOff: boolean;
  readonly dates: boolean;
}

export interface MonthResult extends Month {
  /** Longest wait between two proposals of a unit that is not owned, in days; and half as much again as the fair one. */
  readonly longestWait: number;
  readonly mostWait: number;
  /** Day (from 1) on which the last new unit was first proposed, and the last one allowed. */
  readonly lastNew: number;
  readonly mostNew: number;
  readonly overMinutes: number;
  readonly unused: number;
  /** Of units with minutes asked for in a week: weeks in which they were met where they could be. */
  readonly weeksMet: number;
  readonly weeksAsked: number;
}

export const MONTHS: readonly Month[] = [3, 6, 8, 12, 20].flatMap((units) =>
  [10, 20, 30, 45].flatMap((minutes) =>
    [false, true].flatMap((daysOff) =>
      [false, true].map((dates) => ({ units, minutes, daysOff, dates })),
    ),
  ),
);

const DAYS = 35;
const evidence = { passes: 0, judgedBy: { self: 0, ear: 0, pedal: 0, teacher: 0 } };
const unknown: OwnedTempo = { kind: 'not-enough', evidence };
const owned: OwnedTempo = { kind: 'number', bpm: 120, low: 117, high: 123, evidence };

/** What is kept of a unit between days. */
interface Kept {
  readonly played: number[];
  lastTurn: number | undefined;
  readonly due?: number;
  readonly asked?: number;
  minutesThisWeek: number;
  /** Minutes of work after which it is owned; most never are within the month. */
  readonly ownedAfter: number;
  worked: number;
  /** Practice days (from 0) on which it was proposed while it was not owned. */
  proposed: number[];
}

export function runMonth(month: Month, seed: number): MonthResult {
  const roll = dice(seed);
  const units = Array.from({ length: month.units }, (_, i) => draw(month, i, roll));
  let [overMinutes, unused, weeksMet, weeksAsked] = [0, 0, 0, 0];
  const practised: number[] = [];
  for (let day = 0; day < DAYS; day++) {
    if (day % 7 === 0) for (const unit of units) unit.minutesThisWeek = 0;
    if (!(month.daysOff && roll() < 2 / 7)) {
      practised.push(day);
      const plan = planToday(
        units.map((unit, i) => candidateOf(unit, i, day)),
        month.minutes,
      );
      const used = plan.lines.reduce((sum, line) => sum + line.minutes, 0);
      if (used > month.minutes + 1e-9) overMinutes++;
      unused += month.minutes - used;
      for (const { candidate, minutes, look } of plan.lines) {
        const unit = units[Number(candidate.unit.key)]!;
        unit.played.push(day);
        if (!look) unit.lastTurn = day;
        if (!isOwned(unit)) unit.proposed.push(practised.length - 1);
        unit.worked += minutes;
        unit.minutesThisWeek += minutes;
      }
    }
    if (day % 7 === 6) {
      for (const { asked, minutesThisWeek } of units) {
        if (asked === undefined) continue;
        weeksAsked++;
        if (minutesThisWeek >= asked) weeksMet++;
      }
    }
  }
  const round = Math.ceil((month.units * SHORTEST_TURN) / month.minutes);
  return {
    ...month,
    longestWait: Math.max(...units.map((unit) => longestWait(unit, practised.length))),
    mostWait: 1.5 * round,
    lastNew: 1 + Math.max(...units.map(({ proposed }) => proposed[0] ?? Infinity)),
    mostNew: round + 1,
    overMinutes,
    unused: unused / (practised.length * month.minutes),
    weeksMet,
    weeksAsked,
  };
}

/** A third have a date, a quarter of them past; a third of the rest have minutes a week. */
function draw({ dates, units, minutes }: Month, i: number, roll: Roll): Kept {
  const fair = (5 * minutes) / units;
  return {
    played: [],
    lastTurn: undefined,
    minutesThisWeek: 0,
    ownedAfter: roll() < 0.15 ? 60 : Infinity,
    worked: 0,
    proposed: [],
    ...(dates && i % 3 === 0 ? { due: Math.floor(-8 + roll() * 40) } : {}),
    ...(dates && i % 3 === 1 ? { asked: Math.round(fair * (0.6 + 0.8 * roll())) } : {}),
  };
}

const isOwned = ({ worked, ownedAfter }: Kept): boolean => worked >= ownedAfter;

function candidateOf(unit: Kept, i: number, day: number): Candidate {
  const last = unit.played.at(-1);
  const before = unit.played.at(-2);
  const left = unit.due === undefined ? undefined : unit.due - day;
  const standing: UnitStanding = {
    beat: 'quarter',
    target: 110,
    owned: isOwned(unit) ? owned : unknown,
    surer: { kind: 'another-day' },
    nextDay: unknown,
    forecast: { kind: 'not-enough', days: 0, needed: 5 },
    minutesThisWeek: unit.minutesThisWeek,
    ...(last === undefined ? {} : { daysSince: day - last }),
    ...(unit.lastTurn === undefined ? {} : { daysSinceTurn: day - unit.lastTurn }),
    ...(last === undefined || before === undefined ? {} : { lastGap: last - before }),
    ...(left === undefined
      ? {}
      : { outlook: left < 0 ? { kind: 'overdue', days: -left } : { kind: 'unknown', days: left } }),
  };
  return {
    chart: { id: 'c', title: 'Month' },
    unit: { key: String(i), name: `Unit ${String(i).padStart(2, '0')}` },
    standing,
    ...(unit.asked === undefined
      ? {}
      : { assignment: { terms: { minutesPerWeek: unit.asked } } as Assignment }),
  };
}

/** In practice days: nobody is proposed anything on a day off. The wait of an owned unit is wanted and does not count. */
function longestWait(unit: Kept, practised: number): number {
  const at = isOwned(unit) ? unit.proposed : [...unit.proposed, practised];
  return Math.max(0, ...at.slice(1).map((day, i) => day - at[i]!));
}
