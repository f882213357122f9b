// The typed text of a part of a lead line and places in it: what the cures for lead lines share.
import type { TextSpan } from '../../../base/result.ts';
import type { Fret } from '../../../base/units.ts';

/** A typed part: what stands behind its name. */
export interface PartText {
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

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
