// Where everything that is set for a student stands: for the teacher's table, and for the student's page.
import type { IsoDate } from '../base/units.ts';
import { active, type Assignment, type Student } from './assignment.ts';
import { type HelpNeed, needsOf, type Placed } from './help.ts';
import type { StandingQuestion } from './standing.ts';

/** One student on the desk. */
export interface DeskRow {
  readonly student: Student;
  readonly placed: readonly Placed[];
  /** Weightiest first. */
  readonly needs: readonly HelpNeed[];
}

/** Where one assignment stands. */
export type AssignmentStanding = Pick<Placed, 'standing' | 'other' | 'accepted'>;

/** What is asked about where an assignment stands on a day. */
export const questionOf = (
  { terms: { rules, due } }: Assignment,
  asOf: IsoDate,
): Omit<StandingQuestion, 'passes'> => ({
  beat: rules.beat,
  target: rules.target,
  asOf,
  ...(due === undefined ? {} : { due }),
});

/** @param placeOf undefined leaves an assignment out. @param today the day it is looked at */
export function rowOf(
  student: Student,
  placeOf: (assignment: Assignment) => AssignmentStanding | undefined,
  today: IsoDate,
): DeskRow {
  const placed = active(student.assignments).flatMap((assignment): Placed[] => {
    const place = placeOf(assignment);
    return place ? [{ assignment, ...place }] : [];
  });
  return { student, placed, needs: needsOf(placed, today) };
}
