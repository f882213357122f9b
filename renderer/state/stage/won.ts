// What a climb to the top has won: against the last time, this week, and what is next. Pure functions of what the log answers.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { ClimbState } from '../../../app/core/ladder/model.ts';
import type { BreakPlace, Unit } from '../../../app/core/model/unit.ts';
import type { BeatUnit, Bpm, IsoDate } from '../../../app/core/base/units.ts';
import { dateOfDay, dayNumber, weekOf } from '../../../app/core/log/days.ts';
import { inBeat } from '../../../app/core/rhythm/pulse.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import type { BestOfDay } from '../../../app/services/contract/log-queries.ts';
import { WEEKDAYS } from '../../page/words.ts';

export interface Won {
  /** Fastest clean pass of these bars today. */
  readonly today: Bpm;
  /** Fastest clean pass of the last day before, if there was one, and how it is called. */
  readonly before?: { readonly day: string; readonly bpm: Bpm };
  /** No pass at this tempo was clean before today. */
  readonly first: boolean;
}

/** @param bests of these bars, earliest day first. Undefined where no pass was clean today. */
export function wonToday(
  bests: readonly BestOfDay[],
  today: IsoDate,
  beat: BeatUnit,
): Won | undefined {
  const now = bests.find(({ date }) => date === today);
  if (!now) return undefined;
  const tempo = ({ quarters }: BestOfDay): Bpm => inBeat(quarters, 'quarter', beat);
  const earlier = bests.filter(({ date }) => date < today);
  const last = earlier.at(-1);
  return {
    today: tempo(now),
    ...(last && { before: { day: dayWord(last.date, today), bpm: tempo(last) } }),
    first: earlier.every(({ quarters }) => quarters < now.quarters),
  };
}

function dayWord(date: IsoDate, today: IsoDate): string {
  const ago = dayNumber(today) - dayNumber(date);
  return ago === 1 ? 'yesterday' : `${ago} days ago`;
}

/** What broke last in this climb, and how often it held in the passes after that. */
export interface BrokeOnTheWay {
  readonly place: BreakPlace;
  /** Judged passes since; `held` of them were clean or broke somewhere else. */
  readonly since: number;
  readonly held: number;
}

/** Undefined where no pass of the climb broke at a place that anybody named. */
export function brokeOnTheWay({ partner, passes }: ClimbState): BrokeOnTheWay | undefined {
  const last = partner?.marks.at(-1);
  if (!partner || !last) return undefined;
  const elsewhere = new Set(
    partner.marks.filter(({ place }) => place.change !== last.place.change).map((m) => m.pass),
  );
  const since = passes.filter(({ number, source }) => number > last.pass && source !== null);
  const held = since.filter((p) => p.verdict === 'clean' || elsewhere.has(p.number));
  return { place: last.place, since: since.length, held: held.length };
}

export interface WeekDay {
  readonly name: string;
  readonly short: string;
  readonly played: boolean;
  readonly today: boolean;
  readonly ahead: boolean;
}

/** The seven days of this week, Monday first, and on which of them something was played. */
export function weekDays(
  played: readonly { readonly date: IsoDate }[],
  today: IsoDate,
): readonly WeekDay[] {
  const monday = dayNumber(weekOf(today));
  const dates = new Set(played.map(({ date }) => date));
  return WEEKDAYS.map((name, i) => {
    const date = dateOfDay(monday + i);
    return {
      ...{ name, short: name.slice(0, 2), played: dates.has(date) },
      ...{ today: date === today, ahead: date > today },
    };
  });
}

/** So many goals are looked past because they were played before. */
const MOST_PAST = 12;

/** The first of the goals that follow from this unit that was never played; undefined at the end of the chart. */
export async function goalAhead(
  chart: Chart,
  unit: Unit,
  played: (unit: Unit) => Promise<boolean>,
): Promise<Unit | undefined> {
  let goal = nextGoal(chart, unit);
  for (let past = 0; goal && past <= MOST_PAST; past++) {
    if (!(await played(goal))) return goal;
    goal = nextGoal(chart, goal);
  }
  return undefined;
}

/** The next small goal in the chart: the whole section, the join into what follows, the next section, or the song. */
export function nextGoal(chart: Chart, unit: Unit): Unit | undefined {
  const section = unit.bars[0]?.section;
  const one = unit.bars.every((bar) => bar.section === section);
  if (unit.ref.kind === 'form' || section === undefined) return undefined;
  const sectionNamed = (name: string | undefined) =>
    listUnits(chart, 'section').find(({ ref }) => ref.kind === 'section' && ref.section === name);
  if (one && unit.ref.kind !== 'section') return sectionNamed(section);
  const join = one
    ? listUnits(chart, 'join').find(
        ({ bars }) => bars[0]?.section === section && bars.at(-1)?.section !== section,
      )
    : undefined;
  if (unit.ref.kind === 'section' && join) return join;
  const after = unit.bars.at(-1)?.section;
  const next = after === section ? undefined : sectionNamed(after);
  return next ?? listUnits(chart, 'form')[0];
}
