// What a climb to the top has won: against the last time, this week, and what is next. Pure functions of the log.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { ClimbState } from '../../../app/core/ladder/model.ts';
import type { BreakPlace, PassRecord } from '../../../app/core/model/pass.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { Bpm, IsoDate } from '../../../app/core/base/units.ts';
import { dateOfDay, dayNumber, localDate } from '../../../app/core/log/days.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { WEEKDAYS } from '../../page/words.ts';

export interface Won {
  /** Fastest clean pass of these bars today. */
  readonly today: Bpm;
  /** Fastest clean pass of the last day before, if there was one, and how it is called. */
  readonly before?: { readonly day: string; readonly bpm: Bpm };
  /** No pass at this tempo was clean before today. */
  readonly first: boolean;
}

/** @param passes of these bars, in time order. Undefined where no pass was clean today. */
export function wonToday(passes: readonly PassRecord[], today: IsoDate): Won | undefined {
  const clean = passes.filter(({ verdict }) => verdict === 'clean');
  const onDay = (date: IsoDate) => clean.filter(({ at }) => localDate(at) === date);
  const best = (some: readonly PassRecord[]) =>
    some.reduce((top, { rung }) => Math.max(top, rung.bpm), 0);
  const now = best(onDay(today));
  if (now === 0) return undefined;
  const earlier = clean.filter(({ at }) => localDate(at) < today);
  const last = earlier.at(-1);
  const date = last && localDate(last.at);
  return {
    today: now,
    ...(date && { before: { day: dayWord(date, today), bpm: best(onDay(date)) } }),
    first: best(earlier) < now,
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
export function weekOf(passes: readonly PassRecord[], today: IsoDate): readonly WeekDay[] {
  const now = dayNumber(today);
  // 1970-01-01 was a Thursday.
  const monday = now - ((((now + 3) % 7) + 7) % 7);
  const from = dateOfDay(monday);
  const days = new Set<IsoDate>();
  for (let i = passes.length - 1; i >= 0; i--) {
    const date = localDate(passes[i]!.at);
    if (date < from) break;
    days.add(date);
  }
  return WEEKDAYS.map((name, i) => ({
    ...{ name, short: name.slice(0, 2), played: days.has(dateOfDay(monday + i)) },
    ...{ today: monday + i === now, ahead: monday + i > now },
  }));
}

/** So many goals are looked past because they were played before. */
const MOST_PAST = 12;

/** The first of the goals that follow from this unit that was never played; undefined at the end of the chart. */
export function goalAhead(
  chart: Chart,
  unit: Unit,
  played: (unit: Unit) => boolean,
): Unit | undefined {
  let goal = nextGoal(chart, unit);
  for (let past = 0; goal && played(goal) && past < MOST_PAST; past++) goal = nextGoal(chart, goal);
  return goal && !played(goal) ? goal : undefined;
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
