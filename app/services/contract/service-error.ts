// How a refused or failed call reaches the view.
import type { Problem } from '../../core/base/result.ts';

/** A refused call, or a machine side that cannot be reached; `problems` says which and what to do. */
export class ServiceError extends Error {
  readonly problems: readonly Problem[];
  constructor(problems: readonly Problem[]) {
    super(problems.map((p) => `${p.message} ${p.cure}`).join('\n'));
    this.name = 'ServiceError';
    this.problems = problems;
  }
}
