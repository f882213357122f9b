// What a practice report adds to a student on the desk: preview and merge are one computation.
import type { Chart } from '../../model/chart.ts';
import type { Student } from '../../progress/assignment.ts';
import { instantOf } from '../../log/history.ts';
import type { LogEntry, PassRecord, PlayersWord } from '../../model/pass.ts';
import { entriesOf, isNewer, judgedBefore, wordsOn } from '../../log/teachers-word.ts';
import type { Problem } from '../../base/result.ts';
import type { IsoTime } from '../../base/units.ts';
import { sayMismatch } from '../../progress/whose.ts';
import type { PracticeReport } from './report.ts';

/** What the desk holds of the student the report is for; no student yet is an empty one. */
export interface DeskHolding {
  readonly student: Student | undefined;
  /** The student's passes, settled. */
  readonly passes: readonly PassRecord[];
  readonly charts: readonly Chart[];
  /** Another student on this desk, as the list shows them, whose reports bear this identity. */
  readonly owner?: string | undefined;
}

export interface MergedReport {
  readonly student: Student;
  /** To append to the student's own log: new passes, and new words on old ones. */
  readonly entries: readonly LogEntry[];
  /** Charts the desk does not have; one that it has is never replaced by a student's. */
  readonly newCharts: readonly Chart[];
  readonly newPasses: number;
  readonly changedVerdicts: number;
  readonly newAssignments: number;
  readonly newQuestions: number;
  readonly warnings: readonly Problem[];
  /** The report changes nothing at all. */
  readonly nothing: boolean;
}

/** Merging a report twice changes nothing. @param into id of the student it belongs to on this desk. */
export function mergeReport(
  holding: DeskHolding,
  report: PracticeReport,
  into: string = report.student.id,
): MergedReport {
  const known = new Map(holding.passes.map((pass) => [pass.id, pass]));
  const newer =
    holding.student?.lastReport === undefined ||
    instantOf(report.written) > instantOf(holding.student.lastReport);
  const fresh = report.passes.filter((pass) => !known.has(pass.id));
  const changed = newer ? changedVerdicts(known, report) : [];
  const before = holding.student;
  const student = mergeStudent(holding, report, into, newer);
  const newCharts = report.charts.filter(({ id }) => !holding.charts.some((one) => one.id === id));
  const newAssignments = student.assignments.length - (before?.assignments.length ?? 0);
  const newQuestions = student.comments.length - (before?.comments.length ?? 0);
  return {
    student,
    entries: [...passEntries(fresh, report), ...changed],
    newCharts,
    newPasses: fresh.length,
    changedVerdicts: changed.length,
    newAssignments,
    newQuestions,
    warnings: [...mismatch(holding, report), ...(newer ? [] : olderReport(report))],
    nothing:
      before !== undefined &&
      fresh.length + changed.length + newCharts.length + newAssignments + newQuestions === 0,
  };
}

function passEntries(passes: readonly PassRecord[], { units }: PracticeReport): LogEntry[] {
  const bars = new Map(units.map((unit) => [unit.fingerprint, unit]));
  return passes.flatMap((pass) => entriesOf(pass, bars.get(pass.unit.fingerprint)!));
}

/**
 * The student undid or overruled a verdict since the report before, or another teacher said something:
 * later words, the pass itself stays. What the teacher of this desk has overruled or taken back stands.
 */
function changedVerdicts(
  known: ReadonlyMap<string, PassRecord>,
  { passes, written }: PracticeReport,
): LogEntry[] {
  return passes.flatMap((theirs): LogEntry[] => {
    const here = known.get(theirs.id);
    if (!here) return [];
    const words = wordsOn([theirs]).filter((word) => isNewer(here, word));
    const amendments = [...playersWord(here, theirs, written), ...words];
    return amendments.map((amendment) => ({ kind: 'amendment', amendment }));
  });
}

function playersWord(here: PassRecord, theirs: PassRecord, at: IsoTime): PlayersWord[] {
  const [before, now] = [judgedBefore(here), judgedBefore(theirs)];
  const { verdict, source } = now;
  const { broke, played } = theirs;
  const same =
    before.verdict === verdict &&
    before.source === source &&
    here.played?.join() === played?.join();
  if (same || source === 'teacher') return [];
  const said = { ...(broke && { broke }), ...(played && { played }) };
  return [{ amends: here.id, at, verdict, source, ...said }];
}

/** The desk's own assignments stand; the student's own ones are added. */
function mergeStudent(
  { student: before, owner }: DeskHolding,
  report: PracticeReport,
  into: string,
  newer: boolean,
): Student {
  const base: Student = before ?? {
    id: into,
    name: report.student.name,
    since: report.written,
    assignments: [],
    comments: [],
  };
  const known = new Set(base.assignments.map(({ id }) => id));
  const added = report.assignments.filter(({ id }) => !known.has(id));
  return {
    ...base,
    assignments: [...base.assignments, ...added],
    comments: [...base.comments, ...questionsNew(base, report)],
    ...(newer ? { lastReport: report.written } : {}),
    // What is somebody else’s goes to them the next time.
    ...(owner === undefined ? reportsAs(base, report) : {}),
  };
}

const questionsNew = ({ comments }: Student, { questions }: PracticeReport) =>
  questions.filter(({ id }) => !comments.some((one) => one.id === id));

/** The next report of this identity is known as this student's. */
function reportsAs({ id, reportsAs: known = [] }: Student, { student }: PracticeReport) {
  return student.id === id || known.includes(student.id)
    ? {}
    : { reportsAs: [...known, student.id] };
}

function mismatch({ student: into, owner }: DeskHolding, { student }: PracticeReport): Problem[] {
  const message = sayMismatch(into, student, owner);
  return message === undefined
    ? []
    : [
        {
          code: 'other-student',
          message,
          cure: 'Choose whose report it is before you take it in.',
        },
      ];
}

const olderReport = ({ written }: PracticeReport): Problem[] => [
  {
    code: 'report-not-newer',
    message: `A report written on ${written.slice(0, 10)} or later has been taken in already.`,
    cure: 'Passes that were missing are added; verdicts stay as the newer report gave them.',
  },
];
