// How often the two dates of a forecast hold, counted on finite bands only, and how often nothing was said.
import { dayNumber } from '../../../app/core/log/days.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { forecast } from '../../support/forecast.ts';
import {
  anyHabit,
  between,
  type Calendar,
  dateOn,
  dice,
  exponential,
  FIRST_DATE,
  octaves,
  type Player,
  practise,
  type Roll,
  withBreak,
  withLoss,
  withPlateau,
} from './players.ts';

export interface Case {
  readonly player: Player;
  /** Practice days before the question. */
  readonly days: number;
  readonly calendar: Calendar;
  readonly target: number;
  /** Calendar days from the question to the first day whose level is the target's; Infinity if never. */
  readonly arrival: number;
}

export interface ForecastRow {
  readonly name: string;
  readonly draw: (roll: Roll) => Case;
}

interface Course {
  readonly level: (day: number) => number;
  readonly days: number;
  readonly calendar: Calendar;
}

/** Practice on each day of the calendar with this chance, after the first. */
function someDays(roll: Roll, share: number): Calendar {
  const days: number[] = [];
  for (let day = 0; days.length < 400; day++) if (day === 0 || roll() < share) days.push(day);
  return { from: FIRST_DATE, dayOf: (n) => days[n] ?? days.at(-1)! + (n - days.length + 1) };
}

const anyCalendar = (roll: Roll): Calendar => someDays(roll, between(roll, 0.6, 1));

function caseOf(
  roll: Roll,
  { level, days, calendar }: Course,
  target: (now: number) => number,
): Case {
  const player: Player = {
    level,
    steepness: between(roll, 8, 24),
    lapses: between(roll, 0, 0.05),
    form: between(roll, 0, 0.04),
    tiredness: between(roll, 0, 0.02),
    habit: anyHabit(roll),
  };
  const wanted = target(days - 1);
  const today = calendar.dayOf(days - 1);
  let arrival = Infinity;
  for (let n = days; n < days + 300; n++) {
    if (level(n) >= wanted - 1e-9) {
      arrival = calendar.dayOf(n) - today;
      break;
    }
  }
  return { player, days, calendar, target: 2 ** wanted, arrival };
}

const learner = (roll: Roll, gap: readonly [number, number], tau: readonly [number, number]) =>
  exponential(
    between(roll, 60, 110),
    between(roll, ...gap),
    Math.exp(between(roll, Math.log(tau[0]), Math.log(tau[1]))),
  );

const anyLearner = (roll: Roll) => learner(roll, [0.3, 0.9], [6, 40]);
const anyDays = (roll: Roll): number => Math.floor(between(roll, 8, 30));
/** The level some practice days on. */
const ahead =
  (roll: Roll, level: (day: number) => number, from: number, to: number) =>
  (now: number): number =>
    level(now + between(roll, from, to));

export const FORECAST_ROWS: readonly ForecastRow[] = [
  ...(
    [
      ['3–15 practice days off', 3, 15],
      ['15–40 practice days off', 15, 40],
    ] as const
  ).map(([name, from, to]) => ({
    name,
    draw: (roll: Roll) => {
      const level = anyLearner(roll);
      const course = { level, days: anyDays(roll), calendar: anyCalendar(roll) };
      return caseOf(roll, course, ahead(roll, level, from, to));
    },
  })),
  {
    name: 'plateau of 6–12 days, before or to come',
    draw: (roll) => {
      const days = anyDays(roll);
      const from = Math.max(1, days + Math.floor(between(roll, -14, 8)));
      const level = withPlateau(anyLearner(roll), from, Math.floor(between(roll, 6, 13)));
      const course = { level, days, calendar: anyCalendar(roll) };
      return caseOf(roll, course, ahead(roll, level, 3, 25));
    },
  },
  {
    name: 'after 12 days without practice',
    draw: (roll) => {
      const days = anyDays(roll);
      const at = Math.max(2, days - Math.floor(between(roll, 2, 10)));
      const level = withLoss(anyLearner(roll), at, between(roll, 0, 0.06));
      const course = { level, days, calendar: withBreak(at, 12) };
      return caseOf(roll, course, ahead(roll, level, 3, 20));
    },
  },
  {
    name: 'fast learners (τ 4–8 days)',
    draw: (roll) => {
      const level = learner(roll, [0.5, 1], [4, 8]);
      const days = Math.floor(between(roll, 6, 14));
      const course = { level, days, calendar: anyCalendar(roll) };
      return caseOf(roll, course, ahead(roll, level, 3, 12));
    },
  },
  {
    name: 'slow learners (τ 30–60 days)',
    draw: (roll) => {
      const level = learner(roll, [0.3, 0.7], [30, 60]);
      const course = { level, days: anyDays(roll), calendar: anyCalendar(roll) };
      return caseOf(roll, course, ahead(roll, level, 3, 30));
    },
  },
  {
    name: 'power-law learners',
    draw: (roll) => {
      const start = octaves(between(roll, 60, 110));
      const rate = between(roll, 0.1, 0.25);
      const level = (day: number) => start + rate * Math.log2(1 + day);
      const course = { level, days: anyDays(roll), calendar: anyCalendar(roll) };
      return caseOf(roll, course, ahead(roll, level, 3, 30));
    },
  },
  {
    name: 'never: target 2–25 % above the ceiling',
    draw: (roll) => {
      const level = anyLearner(roll);
      const course = { level, days: anyDays(roll), calendar: anyCalendar(roll) };
      return caseOf(roll, course, () => level(1e6) + octaves(between(roll, 1.02, 1.25)));
    },
  },
];

/** Calendar days from the question; no `to` where only one end is known. Undefined: nothing was said. */
export interface Answer {
  readonly from: number;
  readonly middle: number;
  readonly to?: number;
}

export interface Asked {
  readonly passes: readonly PassRecord[];
  readonly asOf: string;
  readonly target: number;
}
/** The program's own answer. */
export const ours: Forecaster = ({ passes, asOf, target }) => {
  const answer = forecast({ passes, beat: 'quarter', target, asOf });
  if (answer.kind === 'reached') return 'reached';
  if (answer.kind !== 'date') return undefined;
  const days = (date: string): number => dayNumber(date) - dayNumber(asOf);
  return { from: days(answer.earliest), middle: days(answer.date), to: days(answer.latest) };
};

export type Forecaster = (asked: Asked) => Answer | 'reached' | undefined;

export interface ForecastResult {
  readonly row: string;
  readonly asked: number;
  readonly reached: number;
  /** A middle date was named. */
  readonly dated: number;
  readonly finite: number;
  readonly held: number;
  readonly early: number;
  readonly late: number;
  readonly width: number;
}

export function runForecastRow(
  { name, draw }: ForecastRow,
  players: number,
  seed: number,
  forecasters: Readonly<Record<string, Forecaster>>,
): Readonly<Record<string, ForecastResult>> {
  const roll = dice(seed);
  const results = Object.fromEntries(
    Object.keys(forecasters).map((key) => [
      key,
      {
        row: name,
        asked: 0,
        reached: 0,
        dated: 0,
        finite: 0,
        held: 0,
        early: 0,
        late: 0,
        width: 0,
      },
    ]),
  );
  for (let n = 0; n < players; n++) {
    const one = draw(roll);
    const passes = practise(
      one.player,
      { days: one.days, passesPerDay: 25, calendar: one.calendar, wish: { target: one.target } },
      roll,
    );
    const asOf = dateOn(one.calendar, one.days - 1);
    for (const [key, forecaster] of Object.entries(forecasters)) {
      const r = results[key]!;
      r.asked++;
      const answer = forecaster({ passes, asOf, target: one.target });
      if (answer === 'reached') r.reached++;
      if (answer === undefined || answer === 'reached') continue;
      r.dated++;
      if (answer.to === undefined) continue;
      r.finite++;
      r.width += answer.to - answer.from;
      if (one.arrival < answer.from) r.late++;
      else if (one.arrival > answer.to) r.early++;
      else r.held++;
    }
  }
  return results;
}
