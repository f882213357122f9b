// A student's line on the desk: where each assignment stands, and what needs help.
import type { DeskRow } from '../../../app/core/exchange/desk/csv-tables.ts';
import { active, type Student } from '../../../app/core/progress/assignment.ts';
import { needsOf } from '../../../app/core/progress/help.ts';
import type { IsoDate } from '../../../app/core/base/units.ts';
import type { UnitRecords } from '../../state/log/unit-records.ts';

export function deskRow(student: Student, records: UnitRecords, asOf: IsoDate): DeskRow {
  const placed = active(student.assignments).map((assignment) => {
    const { rules, due } = assignment.terms;
    const question = { beat: rules.beat, target: rules.target, asOf };
    const standing = records.standingAsSet(
      assignment,
      due === undefined ? question : { ...question, due },
    );
    const { other, accepted } = records.asSet(assignment);
    return { assignment, standing, other, accepted };
  });
  return { student, placed, needs: needsOf(placed) };
}
