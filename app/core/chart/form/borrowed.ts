// Bars that a section takes over from one above it: chords, strokes and signs, without words and comments.
import { barLength } from '../../rhythm/meter.ts';
import { compare } from '../../base/rational.ts';
import type { Bar, Borrowed, Meter, Section } from '../../model/chart.ts';

/** What a section takes over with the bars, unless it says otherwise. */
export type BorrowedHead = Pick<Section, 'tempo' | 'meter' | 'feel' | 'strum' | 'band'>;

/** What `section` hands on with its bars; absent fields are those of the chart. */
export const borrowedHead = ({ tempo, meter, feel, strum, band }: Section): BorrowedHead => ({
  ...(tempo && { tempo }),
  ...(meter && { meter }),
  ...(feel && { feel }),
  ...(strum && { strum }),
  ...(band && { band }),
});

/** The bars as they are taken over into a section that starts in `meter`. */
export function borrowedBars(
  source: Section,
  { from, to }: Pick<Borrowed, 'from' | 'to'>,
  sourceMeter: Meter,
  meter: Meter,
): readonly Bar[] {
  const first = (from ?? 1) - 1;
  const bars = source.bars.slice(first, to ?? source.bars.length).map(withoutWords);
  const running =
    source.bars.slice(0, first + 1).findLast((bar) => bar.meter)?.meter ??
    source.meter ??
    sourceMeter;
  if (bars.length === 0 || sameMeter(running, meter)) return bars;
  return [{ ...bars[0]!, meter: running }, ...bars.slice(1)];
}

const withoutWords = ({ words: _words, comments: _comments, ...bar }: Bar): Bar => bar;

const sameMeter = (a: Meter, b: Meter): boolean =>
  compare(barLength(a), barLength(b)) === 0 &&
  a.unit === b.unit &&
  a.grouping.join() === b.grouping.join();

/** Is the bar as it was taken over? Words and comments are the section's own. */
export const isAsBorrowed = (bar: Bar, borrowed: Bar): boolean =>
  stable(withoutWords(bar)) === stable(borrowed);

/** Plain data as text, keys in order, so that equal bars give equal texts. */
function stable(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(stable).join()}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value) ?? '';
  const entries = Object.entries(value).toSorted(([a], [b]) => (a < b ? -1 : 1));
  return `{${entries.map(([key, item]) => `${key}:${stable(item)}`).join()}}`;
}
