// What is found wrong while a typed chart is read, each with its place in the text.
import type { Problem, Result, TextSpan } from '../../base/result.ts';
import { type Value, spanOf } from './lines.ts';
import { overlaps } from './problems.ts';

export class Findings {
  readonly problems: Problem[];
  /** What should be mended, though the chart can be read. */
  readonly advice: Problem[] = [];

  /** @param problems those of the lines themselves */
  constructor(problems: readonly Problem[]) {
    this.problems = [...problems];
  }

  readonly say = (problem: Problem): void => {
    this.problems.push(problem);
  };

  sayAt(value: Value, code: string, message: string, cure: string): void {
    this.problems.push({ code, message, cure, span: spanOf(value) });
  }

  advise(problem: Problem | undefined): void {
    if (problem) this.advice.push(problem);
  }

  /** What `parse` reads; undefined where nothing is typed, or where it cannot be read, which is said. */
  readonly read = <T>(
    value: Value | undefined,
    parse: (text: string) => Result<T>,
  ): T | undefined => {
    if (!value) return undefined;
    const result = parse(value.text);
    if (result.ok) return result.value;
    const span = spanOf(value);
    this.problems.push(...result.problems.map((problem) => ({ ...problem, span })));
    return undefined;
  };

  /** Is there a line that the cure of a mistake turns into what seems to be missing? */
  isMeant(wanted: RegExp, from = 0, to = Infinity): boolean {
    return this.problems.some(
      ({ span, remedy }) =>
        span !== undefined &&
        span.line >= from &&
        span.line < to &&
        remedy?.edits.some(({ text }) => wanted.test(text)),
    );
  }

  /** Has something at this place been found wrong already? */
  isKnown(span: TextSpan): boolean {
    return this.problems.some(
      (problem) => problem.span?.line === span.line && overlaps(problem.span, span),
    );
  }
}
