// A line of a sheet with what stands around it, and what it may be.
import type { Dialect } from './dialect.ts';
import { rowCost, wordsCost } from './evidence.ts';
import type { FieldValues } from './fields.ts';
import { whyLeftOut } from './ignore.ts';
import { type Label, labelOf } from './labels.ts';
import { type Token, tokensOf } from './tokens.ts';

/** What a line does in the sheet; `about` stands above the song (its title, its writer, a word on it), `foot` below it. */
export type Kind =
  'about' | 'heading' | 'row' | 'words' | 'inline' | 'bars' | 'foot' | 'field' | 'left';

export interface Reading {
  readonly kind: Kind;
  /** The larger, the less likely: a weight of evidence (natural logarithms, set by hand on our own sheets). */
  readonly cost: number;
  readonly label?: Label;
  /** What follows the heading on its line. */
  readonly rest?: 'row' | 'words' | 'inline' | 'bars';
  /** Of words with a row of chords behind them on their line: where the row starts. */
  readonly rowAt?: number;
  readonly field?: Readonly<FieldValues>;
  readonly why?: string;
}

/** A line with its place: what stands around it. */
export interface Line {
  readonly text: string;
  /** In the sheet, from 1. */
  readonly number: number;
  /** Does an empty line stand before it (or what is no song), and behind it? */
  readonly gap: boolean;
  readonly open: boolean;
  readonly tokens: readonly Token[];
  readonly label: Label | undefined;
  /** How unlikely it is that it is a row of chords, and that it is sung. */
  readonly row: number;
  readonly sung: number;
  /** How far it looks like a row of chords rather than words: below 0 where a row is likelier. */
  readonly lean: number;
}

/** The lines that are not empty, each with what it looks like. @param numbered from 1 */
export function linesIn(
  numbered: readonly { readonly text: string; readonly number: number }[],
  dialect: Dialect,
): readonly Line[] {
  const lines: Line[] = [];
  numbered.forEach(({ text, number }, i) => {
    if (text.trim() === '') return;
    const tokens = tokensOf(text, dialect.symbolOf);
    const row = rowCost(tokens, text);
    const sung = wordsCost(tokens, text);
    const blank = (k: number): boolean => (numbered[k]?.text ?? '').trim() === '';
    lines.push({
      text,
      number,
      gap: blank(i - 1) || whyLeftOut(numbered[i - 1]!.text) !== undefined,
      open: blank(i + 1),
      tokens,
      label: labelOf(text),
      row,
      sung,
      lean: row - sung,
    });
  });
  return lines;
}
