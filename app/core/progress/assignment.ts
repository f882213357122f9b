// What somebody set for a unit: the ladder, a date, minutes, a note; with every earlier version kept.
import type { Chart } from '../model/chart.ts';
import type { Unit, UnitRef } from '../model/unit.ts';
import type { LadderRules } from '../ladder/model.ts';
import { suggestRules } from '../ladder/suggest.ts';
import type { IsoDate, IsoTime } from '../base/units.ts';
import type { Template } from './template.ts';

/** `rules.target` in `rules.beat` is the target tempo. */
export interface Terms {
  readonly rules: LadderRules;
  readonly due?: IsoDate;
  /** 1–10 080. */
  readonly minutesPerWeek?: number;
  /** From the teacher to the student; may be empty. */
  readonly note: string;
}

export interface Assignment {
  readonly id: string;
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: { readonly ref: UnitRef; readonly key: string; readonly name: string };
  readonly terms: Terms;
  readonly given: IsoTime;
  /** Who set it, as they call themselves; empty for one's own. */
  readonly by: string;
  /** Terms that held before, oldest first. */
  readonly earlier: readonly { readonly until: IsoTime; readonly terms: Terms }[];
  /** Taken back; kept as history. */
  readonly withdrawn?: IsoTime;
  /** The bars as they were handed out last; only they count, and what the teacher accepts. Absent in old files. */
  readonly bars?: BarsSet;
  /** The teacher's latest word on passes that were played on other bars. */
  readonly otherBars?: readonly WordOnBars[];
}

export interface BarsSet {
  readonly fingerprint: string;
  readonly since: IsoTime;
}

/** Do passes on these bars count for the target, though other ones were set? */
export interface WordOnBars {
  readonly fingerprint: string;
  readonly at: IsoTime;
  readonly counts: boolean;
}

export interface Comment {
  readonly id: string;
  readonly at: IsoTime;
  readonly by: string;
  readonly text: string;
  /** The assignment it is about, if it is about one. */
  readonly assignment?: string;
  /** The student asks it; everything else is said by the teacher. */
  readonly question?: true;
}

/** What was said in a lesson, and what was agreed for the next. */
export interface LessonNote {
  readonly id: string;
  readonly on: IsoDate;
  /** For the teacher alone; it never travels. */
  readonly text: string;
  readonly agreed: readonly string[];
}

/** A student on the teacher's desk; or, under {@link OWN_DESK}, the player's own assignments. */
export interface Student {
  readonly id: string;
  readonly name: string;
  readonly since: IsoTime;
  readonly assignments: readonly Assignment[];
  readonly comments: readonly Comment[];
  /** When the newest practice report taken in was written. */
  readonly lastReport?: IsoTime;
  /** On the player's own desk: how the teacher's desk knows this player, from the newest task sheet. */
  readonly knownAs?: { readonly id: string; readonly name: string };
  /** On the player's own desk: every list this player stands in, with the name of its teacher. */
  readonly knownTo?: readonly {
    readonly id: string;
    readonly name: string;
    readonly teacher: string;
    /** Which of the students of this name on that list; absent where there is one. */
    readonly number?: number;
  }[];
  /** On the teacher's desk: one note a day, in any order. */
  readonly lessons?: readonly LessonNote[];
  /** On the teacher's desk: a group that things are set for together; absent for none. */
  readonly group?: string;
  /** On the teacher's desk: when the lesson is; 1 is Monday, 7 is Sunday (ISO 8601). */
  readonly lessonDay?: number;
  /** On the player's own desk: how this teacher spreads songs, beside the usual ways. */
  readonly templates?: readonly Template[];
  /** On the teacher's desk: questions that were answered, by id. */
  readonly answered?: readonly string[];
  /** On the teacher's desk: other identities whose reports were taken in as this student's. */
  readonly reportsAs?: readonly string[];
}

/** Id of the desk that holds what the player of this program was given or set. */
export const OWN_DESK = 'self';

/** Those that were not taken back. */
export const active = (assignments: readonly Assignment[]): readonly Assignment[] =>
  assignments.filter((assignment) => assignment.withdrawn === undefined);

/** What was set for a unit; of several the one that is due first. */
export function termsFor(
  assignments: readonly Assignment[],
  chart: string,
  unit: string,
): Terms | undefined {
  const dueOf = ({ terms }: Assignment): string => terms.due ?? 'never';
  return active(assignments)
    .filter((one) => one.chart.id === chart && one.unit.key === unit)
    .sort((a, b) => dueOf(a).localeCompare(dueOf(b)))[0]?.terms;
}

/** New terms; the ones that held until now are kept. The same terms change nothing. */
export function revise(assignment: Assignment, terms: Terms, at: IsoTime): Assignment {
  if (sameTerms(assignment.terms, terms)) return assignment;
  return {
    ...assignment,
    terms,
    earlier: [...assignment.earlier, { until: at, terms: assignment.terms }],
  };
}

/** Do they ask for the same? */
const sameTerms = (a: Terms, b: Terms): boolean => canonical(a) === canonical(b);

/** Equal values give equal text, whatever the order of their keys; undefined is absent. */
export const canonical = (value: unknown): string =>
  JSON.stringify(value, (_, part: unknown) =>
    typeof part === 'object' && part !== null && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([a], [b]) => (a < b ? -1 : 1)))
      : part,
  );

export interface Giving {
  readonly at: IsoTime;
  readonly by: string;
  readonly due?: IsoDate;
  readonly minutesPerWeek?: number;
  readonly note?: string;
  readonly newId: () => string;
}

/** One assignment for each unit (of a whole chart, or one), with the ladder suggested for it unless `rules` gives another. */
export function assign(
  chart: Pick<Chart, 'id' | 'title'>,
  units: readonly Unit[],
  giving: Giving,
  rules: (unit: Unit) => LadderRules = (unit) => suggestRules(unit),
): Assignment[] {
  const { at, by, due, minutesPerWeek, note = '', newId } = giving;
  return units.map((unit) => ({
    id: newId(),
    chart: { id: chart.id, title: chart.title },
    unit: { ref: unit.ref, key: unit.key, name: unit.name },
    terms: {
      rules: rules(unit),
      note,
      ...(due === undefined ? {} : { due }),
      ...(minutesPerWeek === undefined ? {} : { minutesPerWeek }),
    },
    given: at,
    by,
    earlier: [],
    bars: { fingerprint: unit.fingerprint, since: at },
  }));
}

/** The differences of two sets of terms, in words. @param sayDate shows a date to people */
export function differencesOf(
  before: Terms,
  after: Terms,
  sayDate: (date: IsoDate) => string = (date) => date,
): string[] {
  const changes: string[] = [];
  const compare = (
    what: string,
    a: string | number | undefined,
    b: typeof a,
    none: string,
  ): void => {
    if (a !== b) changes.push(`${what} ${a ?? none} → ${b ?? none}`);
  };
  compare('target', before.rules.target, after.rules.target, 'none');
  const dated = (due: IsoDate | undefined) => due && sayDate(due);
  compare('due', dated(before.due), dated(after.due), 'no date');
  compare('minutes a week', before.minutesPerWeek, after.minutesPerWeek, 'none asked');
  if (before.note !== after.note) changes.push('note');
  const others = (terms: Terms): string => canonical({ ...terms.rules, target: 0 });
  if (others(before) !== others(after)) changes.push('rules of the ladder');
  return changes;
}
