// What a cure may look at, and what it changes: the words that all tables of cures share.
import { editDistance } from '../../../harmony/nearest.ts';
import type { TextSpan } from '../../../base/result.ts';
import type { Meter } from '../../../model/chart.ts';
import { meterOf } from '../../../rhythm/meter.ts';

/** What stands where instead; an own span where it is not all of the mistake's. */
export interface Replacement {
  readonly text: string;
  readonly span?: TextSpan;
  /** What the cure does, where the text alone does not say it. */
  readonly label?: string;
}

/** What a cure may look at. */
export interface MistakePlace {
  readonly typed: string;
  readonly span: TextSpan;
  readonly cure: string;
  /** The whole line. */
  readonly line: string;
  /** All lines of the text. */
  readonly lines: readonly string[];
}

export type Mend = (
  place: MistakePlace,
) => string | Replacement | readonly Replacement[] | undefined;

/** The empty place behind a span. */
export const endOf = ({ line, column, length }: TextSpan): TextSpan => ({
  line,
  column: column + length,
  length: 0,
});

/** All of the line in which a span stands. @param text the line */
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

/** The number from `least` to `most` that is nearest to `n`. */
export const clamp = (n: number, least: number, most: number): number =>
  Math.min(most, Math.max(least, n));

/** A number that is too great has a digit too many ("600", "x99"); one that is too small lacks its nought. */
export function digitsMeant(n: number, least: number, most: number): number {
  let meant = n;
  while (meant > most) meant = Math.floor(meant / 10);
  return clamp(meant < least && meant > 0 ? meant * 10 : meant, least, most);
}

/** The known word that is a slip or two away; undefined where none is. */
export function near(word: string, known: readonly string[]): string | undefined {
  const [best] = known.toSorted((a, b) => distance(word, a) - distance(word, b));
  return best !== undefined && distance(word, best) <= Math.max(1, best.length / 3)
    ? best
    : undefined;
}

const distance = (a: string, b: string): number =>
  editDistance(a.toLowerCase().slice(0, 30), b.toLowerCase());

/** The cure that takes the whole line out. */
export const withoutLine: Mend = ({ span, line }) => ({ text: '', span: wholeLine(span, line) });

const HEADING = /^\s*\[([^[\]]*)\]\s*$/u;

/** The line of the heading of the section in which a line stands, from 0; -1 above all of them. */
export const headingAbove = (row: number, lines: readonly string[]): number =>
  lines.findLastIndex((text, i) => i < row && HEADING.test(text));

/** The name in brackets where the line is a heading, else undefined. */
export const headingIn = (text: string): string | undefined => HEADING.exec(text)?.[1]?.trim();

/** The meter in which a line's bars begin: what is said at the top or under the section's name. */
export function meterAbove(row: number, lines: readonly string[]): Meter {
  const heading = headingAbove(row, lines);
  const said = [
    heading < 0 ? undefined : fieldOf(lines.slice(heading, row), 'meter'),
    fieldOf(lines, 'meter'),
  ];
  for (const text of said) {
    const [, numerator, unit] = /^(\d{1,2})\/(2|4|8|16)\b/u.exec(text ?? '') ?? [];
    if (numerator !== undefined)
      return meterOf(Math.max(1, Number(numerator)), Number(unit) as Meter['unit']);
  }
  return meterOf(4, 4);
}

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
export const suggested = ({ typed, cure }: MistakePlace): string | undefined => {
  const better = /Did you mean ‘?(.+?)’?\?$/u.exec(cure)?.[1];
  return better === undefined ? undefined : typed.replace(/^(~?)[^\s["“]+/u, `$1${better}`);
};

/** The chord that stands before, with what belongs to it; undefined where none does. */
export function behindChord(before: string, tail: string, span: TextSpan): Replacement | undefined {
  const [whole, name] = /(?<=^|[\s|])(~?[A-H][^\s|]*)\s+$/u.exec(before) ?? [];
  if (whole === undefined) return undefined;
  const { line, column, length } = span;
  const from = column - whole.length;
  return { text: `${name}${tail}`, span: { line, column: from, length: whole.length + length } };
}
