// Answers what the rooms ask of single units: their course, their sittings, what broke, where they stand.
import { setImmediate } from 'node:timers/promises';
import type { IsoDate } from '../../../core/base/units.ts';
import { dateOfDay, dayNumber, localDate } from '../../../core/log/days.ts';
import { packCourse } from '../../../core/log/course.ts';
import { summariseUnit } from '../../../core/log/per-unit.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import { breakingChanges, type ChangeTally } from '../../../core/progress/changes.ts';
import { gainsOf, type LastTime } from '../../../core/progress/moved.ts';
import { standingOf, type UnitStanding } from '../../../core/progress/standing.ts';
import type { Handlers } from '../../contract/handlers.ts';
import type { BarsAsked, PassQuery, StandingAsked } from '../../contract/log-queries.ts';
import type { LogReader } from './read-log.ts';

/** What figures are made of: settled passes in time order, and what was counted. */
export interface FigureSource extends Pick<LogReader, 'units' | 'days' | 'counts' | 'bests'> {
  readonly passes: (query: PassQuery) => readonly PassRecord[];
  /** See `LogReader`. */
  readonly lately: (asked: BarsAsked & { readonly asOf: IsoDate }) => readonly PassRecord[];
  /** What is made of the passes of some bars is kept with their mark; without one it is made anew. */
  readonly mark?: (desk: string, bars: string) => object | undefined;
}

type FigureCall = `log.${
  'course' | 'sittings' | 'changes' | 'worst' | 'counts' | 'bests' | 'lastTime' | 'standings'}`;

export function answerFigures(source: FigureSource): Pick<Handlers, FigureCall> {
  const kept = new KeptAnswers(source);
  return {
    'log.course': ({ leadIn, ...query }) => {
      const { since, bars, chart, desk } = query;
      if (leadIn !== true || since === undefined || bars === undefined || chart === undefined)
        return packCourse(source.passes(query));
      const [first] = source.lately({ desk, chart, bars, asOf: since });
      return packCourse(source.passes({ ...query, since: first && localDate(first.at) }));
    },
    'log.sittings': ({ days, ...query }) => {
      const first = days === undefined ? undefined : source.days(query).at(-days)?.date;
      const passes = source.passes({ ...query, since: first ?? query.since });
      return passes.length === 0 ? [] : summariseUnit(passes).sessions;
    },
    'log.changes': (query) => breakingChanges(source.passes(query)),
    'log.worst': ({ desk, of, latest }) => {
      const worst = (bars: Omit<BarsAsked, 'desk'>): ChangeTally | null => {
        const [first] = breakingChanges(source.passes({ desk, ...bars, latest }));
        return first && first.broke > 0 ? first : null;
      };
      return kept.ofEach(`worst of ${latest}`, desk, of, worst);
    },
    'log.counts': (asked) => source.counts(asked),
    'log.bests': (asked) => source.bests(asked),
    'log.lastTime': ({ desk }) => lastTimeIn(source, desk),
    'log.standings': ({ desk, of }) =>
      kept.ofEach('standing', desk, of, (asked) => standingIn(source, desk, asked)),
  };
}

/** Answers about bars, kept as long as nothing new is said of them. */
class KeptAnswers {
  readonly #mark: FigureSource['mark'];
  /** By mark of the bars, and question. */
  readonly #answers = new WeakMap<object, Map<string, unknown>>();

  constructor({ mark }: FigureSource) {
    this.#mark = mark;
  }

  /** @param question with `of` and the desk all that the answers depend on, beside the log. */
  async ofEach<Asked extends { readonly bars: string }, Answer>(
    question: string,
    desk: string,
    of: readonly Asked[],
    answer: (asked: Asked) => Answer,
  ): Promise<Answer[]> {
    const answers: Answer[] = [];
    for (const asked of of) {
      const mark = this.#mark?.(desk, asked.bars);
      const known = mark ? (this.#answers.get(mark) ?? new Map<string, unknown>()) : undefined;
      const key = JSON.stringify([question, desk, asked]);
      if (known?.has(key)) {
        answers.push(known.get(key) as Answer);
        continue;
      }
      const made = answer(asked);
      if (mark && known) this.#answers.set(mark, known.set(key, made));
      answers.push(made);
      // A level takes some milliseconds: other calls are answered between two of them.
      await setImmediate();
    }
    return answers;
  }
}

/** Rests on all passes of the bars, of which only so many are read as matter. */
function standingIn(
  source: FigureSource,
  desk: string,
  { chart, bars, due, ...asked }: StandingAsked,
): UnitStanding {
  const passes = source.lately({ desk, chart, bars, asOf: asked.asOf });
  return standingOf({ passes, ...asked, ...(due === undefined ? {} : { due }) });
}

function lastTimeIn(source: FigureSource, desk: string): LastTime | null {
  const [latest] = source.passes({ desk, latest: 1 });
  if (!latest) return null;
  // In another time zone an earlier moment may have borne a later date.
  const near = before(localDate(latest.at), 1);
  const { date, clean, missed } = source.days({ desk, since: near }).at(-1)!;
  const until = before(date, 1);
  const earlier = (since?: IsoDate) => source.days({ desk, since, until }).length > 0;
  const units = source.units({ desk, since: date, until: date });
  return {
    ...{ date, judged: clean + missed, clean },
    // Most logs answer from their last year.
    first: !earlier(before(date, YEAR)) && !earlier(),
    gains: gainsOf(
      units.map(({ chart, unit, beat, fastestQuarters }) => {
        const days = source.days({ desk, chart: chart.id, unit: unit.key, until });
        return {
          ...{ chart: chart.title, unit: unit.name, beat, quarters: fastestQuarters },
          before: days.findLast((day) => day.clean > 0)?.fastestQuarters,
        };
      }),
    ),
  };
}

const YEAR = 366;
const before = (date: IsoDate, days: number): IsoDate => dateOfDay(dayNumber(date) - days);
