// The students on the teacher's desk (and the player's own assignments) as a kind of document.
import { checked } from '../../../core/base/checked.ts';
import { byId, byMoment } from '../../../core/log/history.ts';
import type { Student } from '../../../core/progress/assignment.ts';
import { studentSchema } from '../../../core/progress/desk-schema.ts';
import { fail, ok } from '../../../core/base/result.ts';
import { inPlainWords } from '../../contract/schemas.ts';
import type { DocumentKind } from './documents.ts';

/** Comments and lessons stand in one order on every machine, however they came. */
const inOrder = ({ comments, lessons = [], ...student }: Student): Student => ({
  ...student,
  comments: comments.toSorted(byMoment),
  ...(lessons.length > 0 ? { lessons: lessons.toSorted(byDay) } : {}),
});

type OfDay = NonNullable<Student['lessons']>[number];
const byDay = (a: OfDay, b: OfDay): number => (a.on < b.on ? -1 : a.on > b.on ? 1 : byId(a, b));

export const studentKind: DocumentKind<Student> = {
  what: 'the students',
  one: 'student',
  schemaVersion: 1,
  migrations: [],
  idOf: (student) => student.id,
  parse: (raw) => {
    const parsed = checked(studentSchema, raw);
    return parsed.success
      ? ok(inOrder(parsed.data))
      : fail(...inPlainWords('The student', parsed.error));
  },
  seed: () => [],
};
