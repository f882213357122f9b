// The typed text of a part of a lead line and places in it: what the cures for lead lines share.
import type { TextSpan } from '../../../base/result.ts';
import type { Fret, StringNo } from '../../../base/units.ts';
import { type LeadToken, tokensOf } from '../../../lead/notation.ts';

/** A typed part: what stands behind its name. */
export interface PartText {
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

/** A part's signs, bar by bar, and for each sign the string of the last note before it. */
export interface ReadPart {
  readonly bars: ReturnType<typeof tokensOf>;
  /** Without an entry where no note stands before. */
  readonly stringBefore: ReadonlyMap<LeadToken, StringNo>;
}

const parts = new WeakMap<PartText, ReadPart>();

/** The signs of a part; it is read once, however many mistakes stand in it. */
export function readPart(part: PartText): ReadPart {
  const known = parts.get(part);
  if (known) return known;
  const bars = tokensOf(part.text);
  const stringBefore = new Map<LeadToken, StringNo>();
  let string: StringNo | undefined;
  for (const token of bars.flatMap(({ tokens }) => tokens)) {
    if (string !== undefined) stringBefore.set(token, string);
    const on = /(?:^|\+)([1-6])\//u.exec(token.text)?.[1];
    if (on !== undefined) string = Number(on);
  }
  const read = { bars, stringBefore };
  parts.set(part, read);
  return read;
}

/** Where a piece of a part's text stands in the chart. @param from characters into the part's text, from 0 */
export const at = ({ line, column }: PartText, from: number, length: number): TextSpan => ({
  line,
  column: column + from,
  length,
});

/** All frets of a typed part by semitones further up or down; undefined where one would leave the neck. */
export function movedFrets(text: string, by: number, last: Fret): string | undefined {
  let isOff = !/\d\/(?:\d|x)/u.test(text);
  const moved = text.replace(/(?<=[/\\hp]|g)\d{1,2}/gu, (fret) => {
    const to = Number(fret) + by;
    isOff ||= to < 0 || to > last;
    return String(to);
  });
  return isOff ? undefined : moved;
}
