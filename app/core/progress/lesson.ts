// What a teacher reads before a lesson: what was set, what stands now against then, where it breaks, what to do next.
import { pretty } from '../harmony/notes.ts';
import type { ShowSymbol } from './words.ts';
import type { Bpm, IsoDate, IsoTime } from '../base/units.ts';
import { dateOfDay, dayNumber, localDate, type PracticeDay } from '../log/days.ts';
import type { Chart } from '../model/chart.ts';
import type { Unit } from '../model/unit.ts';
import { unitKey } from '../units/keys.ts';
import { resolveUnit } from '../units/resolve.ts';
import {
  active,
  assign,
  type Assignment,
  type Comment,
  revise,
  type Student,
} from './assignment.ts';
import type { ChangeTally } from './changes.ts';
import { owns } from './owns.ts';
import type { Placed } from './help.ts';
import type { LessonFacts, LineFacts } from './lesson-facts.ts';
import { hasSet, lessonDays, rulesAt, stepsOf } from './setting.ts';
import { TEMPLATES } from './template.ts';

/** One thing that was set, since the last lesson; the log's part is absent until it was asked. */
export interface LessonLine extends Partial<LineFacts> {
  readonly placed: Placed;
}

export interface BreakingPlace extends ChangeTally {
  readonly assignment: Assignment;
}

/** What could be agreed for the next weeks. */
export type NextStep =
  /** A change that breaks, alone. */
  | { readonly kind: 'drill'; readonly place: BreakingPlace }
  /** The target is owned, and the chart asks for more. */
  | { readonly kind: 'raise'; readonly assignment: Assignment; readonly target: Bpm }
  /** The target is owned: what comes after it in the order of the song. */
  | { readonly kind: 'go-on'; readonly after: Assignment; readonly unit: Unit }
  /** The date has passed, or will not be kept. */
  | { readonly kind: 'new-date'; readonly assignment: Assignment; readonly due: IsoDate };

export interface LessonPage {
  /** The last lesson, or where none is noted the day the oldest open thing was set. */
  readonly since: IsoDate;
  readonly lines: readonly LessonLine[];
  /** At most three, most broken first. */
  readonly places: readonly BreakingPlace[];
  /** Every day practised since then, whatever was played. */
  readonly days: readonly PracticeDay[];
  /** What the student asked and nobody has answered yet, whenever it was: reports come late. */
  readonly questions: readonly Comment[];
  readonly next: readonly NextStep[];
}

export interface LessonQuestion {
  readonly student: Student;
  readonly placed: readonly Placed[];
  /** What the log says since the last lesson; see `lastLesson`. */
  readonly facts: LessonFacts;
  /** Charts of what was set, as far as they are here. */
  readonly charts: readonly Chart[];
  readonly today: IsoDate;
}

/** Without a note or anything set, two weeks are looked back on (ours). */
const LOOK_BACK = 14;

/** What a teacher wants to see before the lesson, since the last one. */
export function lessonPage(question: LessonQuestion): LessonPage {
  const { student, placed, facts, today } = question;
  const lines = new Map(facts.lines);
  const byId = new Map(placed.map(({ assignment }) => [assignment.id, assignment]));
  const places = facts.places.flatMap((place): BreakingPlace[] => {
    const assignment = byId.get(place.assignment);
    return assignment ? [{ ...place, assignment }] : [];
  });
  return {
    since: lastLesson(student, today),
    lines: placed.map((one) => ({ placed: one, ...lines.get(one.assignment.id) })),
    places,
    days: facts.days,
    questions: openQuestions(student),
    next: nextSteps(question, places),
  };
}

const openQuestions = ({ comments, answered = [] }: Student): readonly Comment[] =>
  comments.filter(({ id, question }) => question === true && !answered.includes(id));

export interface Answering {
  /** Empty where it was talked about in the lesson. */
  readonly text: string;
  readonly by: string;
  readonly now: IsoTime;
  readonly newId: () => string;
}

/** The student with a question answered; an answer in words goes to the student as a comment that names the question. */
export function answer(student: Student, question: Comment, how: Answering): Student {
  const { by, now, newId } = how;
  const text = how.text.trim();
  const said = { id: newId(), at: now, by, text: `‘${shortened(question.text)}’ ${text}` };
  return {
    ...student,
    answered: [...(student.answered ?? []), question.id],
    comments: text === '' ? student.comments : [...student.comments, said],
  };
}

/** Characters of a question that are said again with its answer. */
const QUOTED = 200;
const shortened = (text: string): string =>
  text.length > QUOTED ? `${text.slice(0, QUOTED).trimEnd()} …` : text;

/** The last lesson before today, or where none is noted the day the oldest open thing was set. */
export function lastLesson(student: Student, today: IsoDate): IsoDate {
  const noted = (student.lessons ?? []).map(({ on }) => on).filter((on) => on < today);
  if (noted.length > 0) return noted.toSorted().at(-1)!;
  const given = active(student.assignments)
    .map((assignment) => localDate(assignment.given))
    .toSorted()[0];
  return given ?? dateOfDay(dayNumber(today) - LOOK_BACK);
}

/** A raised target is at most this much faster, so that it stays a next small goal (ours, no source). */
const RAISE = 1.1;

function nextSteps(
  { student, placed, charts, today }: LessonQuestion,
  places: readonly BreakingPlace[],
): readonly NextStep[] {
  const steps = placed.flatMap(({ assignment, standing }): NextStep[] => {
    if (owns(standing.owned, standing.target)) return goOn(student, assignment, charts);
    const late = standing.outlook?.kind;
    if (late !== 'overdue' && late !== 'out-of-reach') return [];
    const due = lessonDays(today, student.lessonDay ?? weekdayOf(today), 2)[1]!;
    // A date that lies as far off already, or farther, is no new one.
    return (assignment.terms.due ?? '') < due ? [{ kind: 'new-date', assignment, due }] : [];
  });
  const drills = places.flatMap((place): NextStep[] => {
    const key = unitKey({ kind: 'pair', from: place.from, to: place.to });
    return hasSet(student, place.assignment.chart.id, key) || !pairOf(charts, place)
      ? []
      : [{ kind: 'drill', place }];
  });
  return [...drills, ...steps];
}

const weekdayOf = (date: IsoDate): number => ((((dayNumber(date) + 3) % 7) + 7) % 7) + 1;

function goOn(student: Student, assignment: Assignment, charts: readonly Chart[]): NextStep[] {
  const chart = charts.find(({ id }) => id === assignment.chart.id);
  const unit = chart && resolveUnit(chart, assignment.unit.ref);
  if (!chart || !unit?.ok) return [];
  const { target } = assignment.terms.rules;
  const full = Math.round(unit.value.tempo.bpm);
  if (target < full) {
    return [{ kind: 'raise', assignment, target: Math.min(full, Math.round(target * RAISE)) }];
  }
  const next = stepsOf(chart, TEMPLATES[0]).find(
    ({ unit: one }) => !hasSet(student, chart.id, one.key),
  );
  return next ? [{ kind: 'go-on', after: assignment, unit: next.unit }] : [];
}

function pairOf(charts: readonly Chart[], { assignment, from, to }: BreakingPlace) {
  const chart = charts.find(({ id }) => id === assignment.chart.id);
  const unit = chart && resolveUnit(chart, { kind: 'pair', from, to });
  return chart && unit?.ok ? { chart, unit: unit.value } : undefined;
}

export interface Agreeing {
  readonly charts: readonly Chart[];
  readonly by: string;
  readonly now: IsoTime;
  /** Of what is set anew. */
  readonly due: IsoDate;
  readonly newId: () => string;
}

/** The student with what was agreed as an assignment; undefined where its chart is not here any more. */
export function agree(student: Student, step: NextStep, how: Agreeing): Student | undefined {
  const { by, now, due, newId } = how;
  const give = (chart: Chart, unit: Unit, percent: number): Student => ({
    ...student,
    assignments: [
      ...student.assignments,
      ...assign(chart, [unit], { at: now, by, due, newId }, (one) => rulesAt(one, percent)),
    ],
  });
  switch (step.kind) {
    case 'drill': {
      const pair = pairOf(how.charts, step.place);
      return pair && give(pair.chart, pair.unit, 100);
    }
    case 'go-on': {
      const chart = how.charts.find(({ id }) => id === step.after.chart.id);
      return chart && give(chart, step.unit, 100);
    }
    case 'raise':
      return changed(student, step.assignment, now, {
        rules: { ...step.assignment.terms.rules, target: step.target },
        due,
      });
    case 'new-date':
      return changed(student, step.assignment, now, { due: step.due });
  }
}

/** What was agreed: the student before and after it, the words of it, and the day it was noted under. */
export interface Agreed {
  readonly before: Student;
  readonly after: Student;
  readonly words: string;
  readonly on: IsoDate;
}

/** The student without it: what was set stands as before, and what came to be since stays. */
export function disagree(now: Student, { before, after, words, on }: Agreed): Student {
  const of = ({ assignments }: Student, id: string) => assignments.find((one) => one.id === id);
  const assignments = now.assignments.flatMap((one) => {
    const was = of(before, one.id);
    const became = of(after, one.id);
    if (became === undefined || was === became) return [one];
    return was === undefined ? [] : [was];
  });
  const lessons = (now.lessons ?? []).flatMap((note) => {
    if (note.on !== on) return [note];
    const at = note.agreed.lastIndexOf(words);
    const agreed = note.agreed.filter((_, i) => i !== at);
    const isNew = !(before.lessons ?? []).some(({ id }) => id === note.id);
    return isNew && agreed.length === 0 && note.text === '' ? [] : [{ ...note, agreed }];
  });
  return { ...now, assignments, lessons };
}

function changed(
  student: Student,
  assignment: Assignment,
  now: IsoTime,
  terms: Partial<Assignment['terms']>,
): Student {
  const next = revise(assignment, { ...assignment.terms, ...terms }, now);
  return {
    ...student,
    assignments: student.assignments.map((one) => (one.id === next.id ? next : one)),
  };
}

/** "Drill C to F: it broke 7 times of 12." @param sayDate shows a date to people */
export function sayNext(
  step: NextStep,
  show: ShowSymbol = pretty,
  sayDate: (date: IsoDate) => string = (date) => date,
): string {
  switch (step.kind) {
    case 'drill': {
      const { from, to, broke, heard } = step.place;
      return `Drill ${show(from)} to ${show(to)}: it broke ${broke} times of ${heard}.`;
    }
    case 'raise':
      return `Raise ${step.assignment.unit.name} from ${step.assignment.terms.rules.target} to ${step.target}: ${step.assignment.terms.rules.target} is reached.`;
    case 'go-on':
      return `Go on with ${step.unit.name}: ${step.after.unit.name} is at its full tempo.`;
    case 'new-date':
      return `Give ${step.assignment.unit.name} a new date: ${sayDate(step.due)}.`;
  }
}

/** "7 times of 12: 5 by ear, 2 by the student". */
export function sayPlace({ broke, heard, said }: ChangeTally): string {
  const byEar = broke - said;
  const who = [
    ...(byEar > 0 ? [`${byEar} by ear`] : []),
    ...(said > 0 ? [`${said} by the student`] : []),
  ];
  return `${broke} times of ${heard}: ${who.join(', ')}`;
}
