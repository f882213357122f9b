// Writes bar lines that carry something: repeats, endings, ends of sections (W3C MusicXML 4.0, barline).
import type { SheetBar } from './sheet.ts';
import { type XmlElement, element } from './xml-write.ts';

/** A repeat or an ending that starts at a bar. */
export function leftBarline(bar: SheetBar): XmlElement[] {
  if (!bar.repeatStart && !bar.endings) return [];
  return [
    element(
      'barline',
      [
        ...(bar.repeatStart ? [element('bar-style', 'heavy-light')] : []),
        ...(bar.endings ? [endingElement(bar.endings, 'start')] : []),
        ...(bar.repeatStart ? [element('repeat', [], { direction: 'forward' })] : []),
      ],
      { location: 'left' },
    ),
  ];
}

const endingElement = (
  times: readonly number[],
  type: 'start' | 'stop' | 'discontinue',
): XmlElement =>
  element('ending', type === 'start' ? `${times.join(', ')}.` : [], {
    number: times.join(', '),
    type,
  });

/** A repeat, an ending or a section that ends with a bar. */
export function rightBarline(bars: readonly SheetBar[], index: number): XmlElement[] {
  const bar = bars[index]!;
  const next = bars[index + 1];
  const ends = bar.repeatEnd !== undefined;
  const style =
    ends || !next ? 'light-heavy' : next.heading !== undefined ? 'light-light' : undefined;
  const ending = endOfEnding(bars, index);
  if (!style && !ending) return [];
  const times = bar.repeatEnd !== undefined && bar.repeatEnd > 2 ? bar.repeatEnd : undefined;
  return [
    element(
      'barline',
      [
        ...(style ? [element('bar-style', style)] : []),
        ...(ending ? [ending] : []),
        ...(ends ? [element('repeat', [], { direction: 'backward', times })] : []),
      ],
      { location: 'right' },
    ),
  ];
}

/** An ending's bracket ends at its repeat; the last one has none and stays open after one bar. */
function endOfEnding(bars: readonly SheetBar[], index: number): XmlElement | undefined {
  const bar = bars[index]!;
  const from = bars
    .slice(0, index + 1)
    .findLastIndex((b) => b.endings || b.repeatStart || b.heading !== undefined);
  const times = bars[from]?.endings;
  const closed = bars.slice(Math.max(0, from), index).some((b) => b.repeatEnd !== undefined);
  if (!times || closed) return undefined;
  if (bar.repeatEnd !== undefined) return endingElement(times, 'stop');
  return from === index && !repeatsLater(bars, index)
    ? endingElement(times, 'discontinue')
    : undefined;
}

/** Does the ending that starts here come to a repeat sign? */
function repeatsLater(bars: readonly SheetBar[], start: number): boolean {
  const after = bars.slice(start + 1);
  const stop = after.findIndex((b) => b.endings || b.repeatStart || b.heading !== undefined);
  return after.slice(0, stop < 0 ? undefined : stop).some((b) => b.repeatEnd !== undefined);
}
