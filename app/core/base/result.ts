// The one way core reports an expected failure: a tagged result whose problems name place and cure.

/** Where in a typed text a problem sits: 1-based line and column, length in characters. */
export interface TextSpan {
  readonly line: number;
  readonly column: number;
  readonly length: number;
}

/** Characters to replace; no length inserts. A line break in `text` starts a new line. */
export interface TextEdit extends TextSpan {
  readonly text: string;
}

/** A cure that can be carried out: what it does in a few words, and the changes, none overlapping. */
export interface Remedy {
  readonly label: string;
  readonly edits: readonly TextEdit[];
}

/** Something the user can mend. `message` names the place; `cure` says what to do. */
export interface Problem {
  /** Stable kebab-case identifier, for tests and for the screen reader's grouping. */
  readonly code: string;
  /** One sentence that names the place, e.g. "bar 7 of ‘Bridge’ has 5 beats; the meter is 4/4". */
  readonly message: string;
  /** One sentence in the imperative that says how to mend it. */
  readonly cure: string;
  readonly span?: TextSpan;
  /** The cure as an edit of the typed text, where there is one. */
  readonly remedy?: Remedy;
}

export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** The good result. */
export const ok = <T>(value: T): Result<T> => ({ ok: true, value });

/** What a problem quotes may be of any length; what is shown of it is not. */
export const fail = (...problems: Problem[]): Result<never> => ({
  ok: false,
  problems: problems.map(inShort),
});

/** Characters of a sentence that is shown whole; of a longer one its beginning and its end are. */
const MOST_SHOWN = 480;
const [SHOWN_FIRST, SHOWN_LAST] = [320, 140];

/** The problem with a message and a cure that are cut where they are too long to be shown. */
export const inShort = (problem: Problem): Problem =>
  problem.message.length <= MOST_SHOWN && problem.cure.length <= MOST_SHOWN
    ? problem
    : { ...problem, message: shortened(problem.message), cure: shortened(problem.cure) };

const shortened = (text: string): string =>
  text.length <= MOST_SHOWN ? text : `${text.slice(0, SHOWN_FIRST)} … ${text.slice(-SHOWN_LAST)}`;

/** For tests and start-up code where a failure is a programming error. @throws Error with every message. */
export function unwrap<T>(result: Result<T>): T {
  if (result.ok) return result.value;
  throw new Error(result.problems.map((p) => `${p.message} ${p.cure}`).join('\n'));
}
