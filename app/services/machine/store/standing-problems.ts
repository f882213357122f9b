// The standing problems of the machine side: they stay until they are gone, and everybody is told when they change.
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import type { Problem } from '../../../core/base/result.ts';
import type { StandingProblem } from '../../contract/host.ts';

export interface StandingProblems {
  readonly all: () => readonly StandingProblem[];
  /** Adds the problem, or replaces the one with its code and message. */
  readonly raise: (problem: Problem) => StandingProblem;
  /** Removes every problem with this code. */
  readonly clear: (code: string) => void;
}

/** @param changed hears of every list from then on */
export function standingProblems(
  now: () => Date,
  changed: (all: readonly StandingProblem[]) => void,
): StandingProblems {
  let problems: readonly StandingProblem[] = [];
  const set = (next: readonly StandingProblem[]): void => {
    problems = next;
    changed(problems);
  };
  return {
    all: () => problems,
    raise: (problem) => {
      const known = problems.find((p) => p.code === problem.code && p.message === problem.message);
      if (known) return known;
      const raised = { ...problem, since: isoTimeOf(now()) };
      set([...problems, raised]);
      return raised;
    },
    clear: (code) => {
      const left = problems.filter((problem) => problem.code !== code);
      if (left.length < problems.length) set(left);
    },
  };
}
