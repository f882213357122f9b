// What a cure may look at, and what it changes: the words that all tables of cures share.
import { editDistance } from '../../../harmony/nearest.ts';
import type { TextSpan } from '../../../base/result.ts';

/** What stands where instead; an own span where it is not all of the mistake's. */
export interface Change {
  readonly text: string;
  readonly span?: TextSpan;
  /** What the cure does, where the text alone does not say it. */
  readonly label?: string;
}

/** What a cure may look at. */
export interface Place {
  readonly typed: string;
  readonly span: TextSpan;
  readonly cure: string;
  /** The whole line. */
  readonly line: string;
  /** All lines of the text. */
  readonly lines: readonly string[];
}

export type Mend = (place: Place) => string | Change | readonly Change[] | undefined;

export const endOf = ({ line, column, length }: TextSpan): TextSpan => ({
  line,
  column: column + length,
  length: 0,
});

export const wholeLine = ({ line }: TextSpan, text: string): TextSpan => ({
  line,
  column: 1,
  length: text.length,
});

/** Behind all of a line. */
export const lineEnd = ({ line }: TextSpan, text: string): TextSpan => ({
  line,
  column: text.length + 1,
  length: 0,
});

export const clamp = (n: number, least: number, most: number): number =>
  Math.min(most, Math.max(least, n));

export const near = (word: string, known: readonly string[]): string | undefined =>
  known.toSorted((a, b) => distance(word, a) - distance(word, b))[0];

const distance = (a: string, b: string): number =>
  editDistance(a.toLowerCase().slice(0, 30), b.toLowerCase());

/** The cure that takes the whole line out. */
export const withoutLine: Mend = ({ span, line }) => ({ text: '', span: wholeLine(span, line) });

/** What a field at the top says, e.g. the key. */
export function fieldOf(lines: readonly string[], name: string): string | undefined {
  const field = new RegExp(`^\\s*${name}\\s*:\\s*(.+?)\\s*$`, 'iu');
  for (const line of lines) {
    const value = field.exec(line)?.[1];
    if (value !== undefined) return value;
  }
  return undefined;
}

/** The chord or section that the sentence of the cure proposes. */
export const suggested = ({ typed, cure }: Place): string | undefined => {
  const better = /Did you mean ‘?(.+?)’?\?$/u.exec(cure)?.[1];
  return better === undefined ? undefined : typed.replace(/^(~?)[^\s["“]+/u, `$1${better}`);
};
