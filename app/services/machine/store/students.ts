// The students on the teacher's desk (and the player's own assignments) as a kind of document.
import { checked } from '../../../core/base/checked.ts';
import type { Student } from '../../../core/progress/assignment.ts';
import { studentSchema } from '../../../core/progress/desk-schema.ts';
import { fail, ok } from '../../../core/base/result.ts';
import { inPlainWords } from '../../contract/schemas.ts';
import type { DocumentKind } from './documents.ts';

export const studentKind: DocumentKind<Student> = {
  what: 'the students',
  one: 'student',
  schemaVersion: 1,
  migrations: [],
  idOf: (student) => student.id,
  parse: (raw) => {
    const parsed = checked(studentSchema, raw);
    return parsed.success ? ok(parsed.data) : fail(...inPlainWords('The student', parsed.error));
  },
  seed: () => [],
};
