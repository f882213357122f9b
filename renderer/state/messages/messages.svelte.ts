// What the program says at the edge of the window: passing remarks, remarks with one action, and standing problems.
import type { StandingProblem } from '../../../app/services/contract/host.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import { problemWords } from '../../page/words.ts';

export interface Remark {
  readonly id: number;
  readonly text: string;
  readonly tone: 'plain' | 'problem';
  readonly action?: { readonly label: string; readonly run: () => void };
}

/** Long enough to read twenty words twice (common practice, no source); remarks with an action stay. */
const PASSING_MS = 8000;

/** Remarks at a time. */
const MOST = 20;

export class Messages {
  #next = 1;
  #remarks = $state.raw<readonly Remark[]>([]);
  #standing = $state.raw<readonly StandingProblem[]>([]);

  get remarks(): readonly Remark[] {
    return this.#remarks;
  }
  get standing(): readonly StandingProblem[] {
    return this.#standing;
  }

  /** A remark that passes by itself, or stays until answered when it offers an action. */
  say = (text: string, action?: Remark['action']): void => {
    const id = this.#add({ text, tone: 'plain', ...(action && { action }) });
    if (!action) setTimeout(() => this.dismiss(id), PASSING_MS);
  };

  /** Problems with their cure; they stay until they are put away. */
  refuse = (problems: readonly Problem[]): void => {
    for (const p of problems) this.#add({ text: problemWords(p), tone: 'problem' });
  };

  /** Puts away what was said, as it holds no longer. */
  unsay = (text: string): void => {
    this.#remarks = this.#remarks.filter((remark) => remark.text !== text);
  };

  dismiss = (id: number): void => {
    this.#remarks = this.#remarks.filter((r) => r.id !== id);
  };

  /** The machine side's list replaces ours whole: it knows when a problem has gone. */
  stand = (problems: readonly StandingProblem[]): void => {
    this.#standing = problems;
  };

  #add(remark: Omit<Remark, 'id'>): number {
    const id = this.#next++;
    const others = this.#remarks.filter((r) => r.text !== remark.text).slice(1 - MOST);
    this.#remarks = [...others, { id, ...remark }];
    return id;
  }
}
