// The few students of an interleaving, what is written about them, and whether anything of them stands in a text.
import type { LogEntry } from '../../../app/core/model/pass.ts';
import type { Student } from '../../../app/core/progress/assignment.ts';
import { goneMark } from '../../../app/services/machine/store/gone-mark.ts';
import { passEntry } from '../../unit/services/samples.ts';

export const STUDENTS = ['student-0', 'student-1', 'student-2'] as const;
export const idOf = (n: number): string => STUDENTS[n % STUDENTS.length]!;

export const studentOf = (n: number, made: number): Student => ({
  ...{ id: idOf(n), name: `Name ${n % 2}`, since: '2031-01-01T00:00:00Z', assignments: [] },
  comments: [{ id: `c-${made}`, at: '2031-01-01T00:00:00Z', by: 'Ms Tern', text: `Of ${idOf(n)}` }],
});

/** A pass of theirs, and the teacher's word on it. */
export function reportOf(student: string, made: string, at: string): readonly LogEntry[] {
  const pass = `${made} of ${student}`;
  const word = { amends: pass, at, verdict: 'missed', source: 'teacher' } as const;
  return [passEntry(pass, { at }), { kind: 'amendment', amendment: word }];
}

/** Does anything of somebody stand in it who has such a mark? */
export function holdsAny(text: string, marks: ReadonlySet<string>): boolean {
  return STUDENTS.some((id) => marks.has(goneMark(id)) && text.includes(id));
}
