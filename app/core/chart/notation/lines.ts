// The lines of a typed chart by what they are, as they are sorted before anything in them is read.
import type { Problem, Remedy, TextSpan } from '../../base/result.ts';
import type { TextPart } from './bar-lines.ts';
import type { HeadKey, SectionKey } from './keys.ts';

/** A value with its place; `text` is trimmed. */
export type Value = TextPart;

/** A lead line: its head, "Hook, bar 3", and its parts. */
export interface LeadBlock {
  readonly head: Value;
  readonly parts: { readonly name: Value; readonly text: Value }[];
}

/**
 * A line of words under lines of bars. Several of one verse in a row belong to as many lines of bars
 * above them, one to one.
 */
export interface WordsLine {
  readonly verse: number;
  readonly text: Value;
  /** The lines of bars above it and below the words before: indexes, `to` excluded. None where bars are borrowed. */
  readonly from: number;
  readonly to: number;
}

/** "bar 3: | Em | D |" under a section that borrows its bars. */
export interface ChangeLine {
  readonly number: number;
  readonly bars: Value;
}

export interface SectionLines {
  readonly name: Value;
  readonly comments: readonly string[];
  readonly values: Partial<Record<SectionKey, Value>>;
  readonly remarks: Value[];
  readonly bars: Value[];
  /** Comments above lines of bars, by the number of the line. */
  readonly barComments: Map<number, readonly string[]>;
  readonly changes: ChangeLine[];
  readonly words: WordsLine[];
  readonly leads: LeadBlock[];
}

export interface EntryLine {
  readonly head: Value;
  readonly comments: readonly string[];
  /** From the first bar line on. */
  readonly bars?: Value;
  readonly words: WordsLine[];
}

export interface ChartLines {
  readonly head: Partial<Record<HeadKey, Value>>;
  readonly fields: { readonly name: string; readonly value: Value }[];
  /** `before` names the head line below, 'form' or 'end'. */
  readonly comments: { readonly before: string; readonly text: string }[];
  readonly shapes: Value[];
  readonly sections: SectionLines[];
  readonly form: { readonly at?: Value; readonly entries: EntryLine[] };
  readonly problems: Problem[];
}

/** Where a typed value stands; an empty one is marked by one character. */
export const spanOf = ({ line, column, text }: Value): TextSpan => ({
  line,
  column,
  length: Math.max(1, text.length),
});

/** The cure that types another value. */
export const replaceWith = (value: Value, text: string): Remedy => ({
  label: `Write “${text}”`,
  edits: [{ ...spanOf(value), length: value.text.length, text }],
});
