// Files that leave the desk: task sheet, practice report, due dates, log and desk as tables.
import { dueCalendar } from '../../../app/core/exchange/desk/icalendar.ts';
import { composeReport, writeReport } from '../../../app/core/exchange/desk/report.ts';
import { type TaskSheet, writeTaskSheet } from '../../../app/core/exchange/desk/task-sheet.ts';
import type { Assignment, Student } from '../../../app/core/progress/assignment.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { wordsOn } from '../../../app/core/log/teachers-word.ts';
import type { IsoTime } from '../../../app/core/base/units.ts';
import { fileName, saveFile } from '../../page/save-file.ts';
import { desk } from './desk.svelte.ts';
import { library } from '../library/library.svelte.ts';
import { practiceLog } from '../log/practice-log.svelte.ts';
import { isoNow } from '../log/today.ts';

/**
 * Hands out the task sheet of a student: everything set, with the charts it needs, and everything said.
 * Returns what had to be left out because its chart is gone.
 */
export async function giveTaskSheet(
  student: Student,
  teacher: string,
): Promise<readonly Assignment[]> {
  const needed = new Set(student.assignments.map(({ chart }) => chart.id));
  const [sent, left] = [true, false].map((here) =>
    student.assignments.filter(({ chart }) => (library.find(chart.id) !== undefined) === here),
  );
  const sheet: TaskSheet = {
    written: isoNow(),
    teacher: { name: teacher },
    student: { id: student.id, name: student.name },
    charts: library.charts.filter(({ id }) => needed.has(id)),
    assignments: sent!,
    comments: student.comments,
    words: wordsOn(await desk.passesOf(student.id)),
  };
  const name = fileName(`${student.name} task sheet`, '.json');
  saveFile(name, writeTaskSheet(sheet), 'application/json');
  return left!;
}

/** Hands out the player's own practice report. @param since leaves earlier passes out. */
export async function givePracticeReport(name: string, since?: IsoTime): Promise<void> {
  await practiceLog.load();
  const own = desk.own;
  const knownAs = { id: own.knownAs?.id ?? crypto.randomUUID(), name };
  if (own.name !== name || own.knownAs?.id !== knownAs.id) {
    await desk.save({ ...own, name, knownAs: own.knownAs ?? knownAs });
  }
  const report = composeReport({
    now: isoNow(),
    student: knownAs,
    charts: library.charts,
    assignments: own.assignments,
    passes: knownPasses(practiceLog.passes),
    units: practiceLog.units,
    ...(since === undefined ? {} : { since }),
  });
  saveFile(fileName(`${name} practice report`, '.json'), writeReport(report), 'application/json');
}

/** A pass whose bars were lost with a damaged file cannot travel. */
const knownPasses = (passes: readonly PassRecord[]): readonly PassRecord[] =>
  passes.filter(({ unit }) => practiceLog.units[unit.fingerprint] !== undefined);

/** Hands out the due dates of a student (or the player) for a calendar program. */
export function giveCalendar(student: Student, name: string): void {
  const text = dueCalendar(student.assignments, isoNow());
  saveFile(fileName(`${name} due dates`, '.ics'), text, 'text/calendar;charset=utf-8');
}
