// The problems of a typed text in the order in which they are listed.
import type { Problem, TextSpan } from '../../base/result.ts';
import { MAX_PROBLEMS } from '../../model/limits.ts';

/** A text that is no chart at all has a problem in every line: the first ones, and how many follow. */
export function firstOf(problems: readonly Problem[]): readonly Problem[] {
  if (problems.length <= MAX_PROBLEMS) return problems;
  const message = `${problems.length - MAX_PROBLEMS} more problems follow`;
  const more: Problem = {
    code: 'problems-more',
    message,
    cure: 'Mend the first ones, then look again.',
  };
  return [
    ...problems.slice(0, MAX_PROBLEMS),
    { ...more, span: problems[MAX_PROBLEMS]!.span ?? START },
  ];
}

export const START: TextSpan = { line: 1, column: 1, length: 1 };

/** Do two spans of the same line share a character? */
export const overlaps = (a: TextSpan, b: TextSpan): boolean =>
  a.column < b.column + b.length && b.column < a.column + a.length;

/** Orders problems as they stand in the text; one without a place comes first. */
export const byPlace = (a: Problem, b: Problem): number =>
  (a.span?.line ?? 0) - (b.span?.line ?? 0) || (a.span?.column ?? 0) - (b.span?.column ?? 0);

/** @param title where the title stands, if there is one. */
export const tempoMissing = (title: TextSpan | undefined): Problem => ({
  code: 'tempo-missing',
  message: 'the chart has no tempo',
  cure: 'Write e.g. tempo: ♩ = 96 under the title.',
  span: title ?? START,
  remedy: {
    label: 'Write ♩ = 96',
    edits: [{ line: title ? title.line + 1 : 1, column: 1, length: 0, text: 'tempo: ♩ = 96\n' }],
  },
});
