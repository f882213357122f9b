// What a task sheet would add or change, and doing it: the preview and the merge are one computation.
import type { IsoDate } from '../../base/units.ts';
import type { Chart } from '../../model/chart.ts';
import {
  type Assignment,
  canonical,
  type Comment,
  differencesOf,
  revise,
  type Student,
} from '../../progress/assignment.ts';
import type { LogEntry, PassRecord, WordOnPass } from '../../model/pass.ts';
import { isNewer } from '../../log/teachers-word.ts';
import { acceptedBars, barsSetLast, mergeWords } from '../../progress/as-set.ts';
import { type ForWhom, sheetIsFor } from '../../progress/whose.ts';
import type { TaskSheet } from './task-sheet.ts';

/** What the receiving program holds. */
export interface Holding {
  /** The player's own desk. */
  readonly desk: Student;
  readonly charts: readonly Chart[];
  /** The player's own log, settled. */
  readonly passes: readonly PassRecord[];
}

export type ChartChange = 'new' | 'changed' | 'same';

export type AssignmentChange =
  | { readonly kind: 'new' }
  /** Each difference in words: "target 100 → 110". */
  | { readonly kind: 'changed'; readonly differences: readonly string[] }
  | { readonly kind: 'withdrawn' }
  | { readonly kind: 'same' }
  /** The sheet is older than what is here: nothing changes. */
  | { readonly kind: 'older' };

export interface SheetPreview {
  readonly charts: readonly { readonly chart: Chart; readonly change: ChartChange }[];
  readonly assignments: readonly {
    readonly assignment: Assignment;
    readonly change: AssignmentChange;
  }[];
  readonly newComments: readonly Comment[];
  /** Each with the pass as it stands in the log. */
  readonly newWords: readonly { readonly pass: PassRecord; readonly word: WordOnPass }[];
  /** Words on passes that are not in this log; they are left out. */
  readonly strayWords: number;
  /** Is it for the player who opens it? */
  readonly forWhom: ForWhom;
  /** The sheet changes nothing at all. */
  readonly nothing: boolean;
}

export interface MergedSheet {
  readonly desk: Student;
  readonly charts: readonly Chart[];
  readonly entries: readonly LogEntry[];
}

/**
 * What a sheet would change, thing by thing; nothing is taken over yet. @param sayDate how dates are written in words
 */
export function previewTaskSheet(
  holding: Holding,
  sheet: TaskSheet,
  sayDate?: SayDate,
): SheetPreview {
  const charts = sheet.charts.map((chart) => ({ chart, change: chartChange(holding, chart) }));
  const assignments = sheet.assignments.map((assignment) => ({
    assignment,
    change: assignmentChange(mine(holding, assignment.id), assignment, sayDate),
  }));
  const known = new Set(holding.desk.comments.map(({ id }) => id));
  const newComments = sheet.comments.filter(({ id }) => !known.has(id));
  const { newWords, strayWords } = wordsFor(holding.passes, sheet.words);
  const nothing =
    newComments.length + newWords.length === 0 &&
    charts.every(({ change }) => change === 'same') &&
    assignments.every(({ change }) => change.kind === 'same' || change.kind === 'older');
  const forWhom = sheetIsFor(holding.desk, sheet.student, sheet.teacher.name);
  return { charts, assignments, newComments, newWords, strayWords, forWhom, nothing };
}

function wordsFor(
  passes: readonly PassRecord[],
  words: readonly WordOnPass[],
): Pick<SheetPreview, 'newWords' | 'strayWords'> {
  const about = new Map(words.map((word) => [word.amends, word]));
  const known = passes.flatMap((pass) => {
    const word = about.get(pass.id);
    return word ? [{ pass, word }] : [];
  });
  return {
    newWords: known.filter(({ pass, word }) => isNewer(pass, word)),
    strayWords: words.length - known.length,
  };
}

/**
 * What to save, in this order of need: charts, entries of the player's log, desk. Merging a sheet twice
 * changes nothing.
 * @param keep ids of changed charts whose own version is to stay.
 */
export function mergeTaskSheet(
  holding: Holding,
  sheet: TaskSheet,
  keep: ReadonlySet<string> = new Set(),
): MergedSheet {
  const preview = previewTaskSheet(holding, sheet);
  const charts = preview.charts
    .filter(
      ({ chart, change }) => change === 'new' || (change === 'changed' && !keep.has(chart.id)),
    )
    .map(({ chart }) => chart);
  const assignments = new Map(holding.desk.assignments.map((one) => [one.id, one]));
  for (const { assignment, change } of preview.assignments) {
    const merged = mergeAssignment(assignments.get(assignment.id), assignment, change, sheet);
    assignments.set(merged.id, merged);
  }
  const comments = [...holding.desk.comments, ...preview.newComments];
  return {
    charts,
    entries: preview.newWords.map(({ word }) => ({ kind: 'amendment', amendment: word })),
    desk: {
      ...holding.desk,
      assignments: [...assignments.values()],
      comments,
      ...knownBy(holding.desk, sheet, preview.forWhom),
    },
  };
}

/** A sheet for somebody else never changes who this player is. */
function knownBy(
  { knownAs, knownTo }: Student,
  { student, teacher }: TaskSheet,
  forWhom: ForWhom,
): Pick<Student, 'knownAs' | 'knownTo'> {
  if (forWhom.kind === 'someone-else' || forWhom.kind === 'namesake') return {};
  const lists = knownTo ?? (knownAs ? [{ ...knownAs, teacher: '' }] : []);
  const others = lists.filter(({ id }) => id !== student.id);
  const { id, name } = student;
  return { knownAs: { id, name }, knownTo: [...others, { ...student, teacher: teacher.name }] };
}

const mine = ({ desk }: Holding, id: string): Assignment | undefined =>
  desk.assignments.find((assignment) => assignment.id === id);

function chartChange({ charts }: Holding, chart: Chart): ChartChange {
  const here = charts.find(({ id }) => id === chart.id);
  if (!here) return 'new';
  return canonical(here) === canonical(chart) ? 'same' : 'changed';
}

/** Shows a date to people. */
type SayDate = (date: IsoDate) => string;

function assignmentChange(
  here: Assignment | undefined,
  theirs: Assignment,
  sayDate?: SayDate,
): AssignmentChange {
  if (!here) return { kind: 'new' };
  if (theirs.earlier.length < here.earlier.length) return { kind: 'older' };
  if (theirs.withdrawn && !here.withdrawn) return { kind: 'withdrawn' };
  if (here.withdrawn && !theirs.withdrawn) return { kind: 'older' };
  const differences = [
    ...differencesOf(here.terms, theirs.terms, sayDate),
    ...barDifferences(here, theirs),
  ];
  return differences.length === 0 ? { kind: 'same' } : { kind: 'changed', differences };
}

/** Other bars set, and passes on other bars that count from now on, or no longer. */
function barDifferences(here: Assignment, theirs: Assignment): string[] {
  const merged = withWordsOf(here, theirs);
  const before = acceptedBars(here);
  const after = acceptedBars(merged);
  const otherSet = here.bars && merged.bars?.fingerprint !== here.bars.fingerprint;
  return [
    ...(otherSet ? ['the bars'] : []),
    ...([...after].some((print) => !before.has(print))
      ? ['your passes on other bars count from now on']
      : []),
    ...([...before].some((print) => !after.has(print))
      ? ['passes on other bars count no longer']
      : []),
  ];
}

/** With the bars as they are set now, and the latest of all that was said on other ones. */
function withWordsOf(here: Assignment, theirs: Assignment): Assignment {
  const otherBars = mergeWords(here.otherBars, theirs.otherBars);
  const bars = barsSetLast(here.bars, theirs.bars);
  return {
    ...here,
    ...(bars === undefined ? {} : { bars }),
    ...(otherBars.length > 0 ? { otherBars } : {}),
  };
}

function mergeAssignment(
  here: Assignment | undefined,
  theirs: Assignment,
  change: AssignmentChange,
  { written }: TaskSheet,
): Assignment {
  switch (change.kind) {
    case 'new':
      return theirs;
    case 'older':
      return here!;
    case 'same':
      return sameBars(here!, theirs) ? here! : withWordsOf(here!, theirs);
    case 'withdrawn':
      return { ...revise(here!, theirs.terms, written), withdrawn: theirs.withdrawn! };
    case 'changed': {
      const longer = theirs.earlier.length > here!.earlier.length;
      const terms = longer ? { ...here!, ...theirs } : revise(here!, theirs.terms, written);
      return withWordsOf({ ...terms, ...saidHere(here!) }, theirs);
    }
  }
}

const sameBars = (here: Assignment, theirs: Assignment): boolean =>
  canonical(withWordsOf(here, theirs)) === canonical(here);

const saidHere = ({ bars, otherBars }: Assignment): Pick<Assignment, 'bars' | 'otherBars'> => ({
  ...(bars ? { bars } : {}),
  ...(otherBars ? { otherBars } : {}),
});
