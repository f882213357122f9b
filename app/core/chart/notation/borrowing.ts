// "like: Verse, bars 3–6": which bars a typed section borrows from one above it.
import type { Problem } from '../../base/result.ts';
import type { Borrowed, Meter, Section } from '../../model/chart.ts';
import { barNumber, unnumbered } from '../form/bar-number.ts';
import { borrowedBars } from '../form/borrowed.ts';
import type { BuiltBar } from './bar-build.ts';
import { near } from './cures/cure.ts';
import { type SectionLines, type Value, replaceWith, spanOf } from './lines.ts';

export interface Borrowing {
  readonly source: Section;
  readonly value: Value;
  readonly like: Borrowed;
}

/** What a section borrows; undefined where it borrows nothing, or where that is not known and was said. */
export function readLike(
  lines: SectionLines,
  above: readonly Section[],
  say: (problem: Problem) => void,
): Borrowing | undefined {
  const value = lines.values.like;
  if (!value) {
    for (const { bars } of lines.changes) say(nothingToChange(bars));
    return undefined;
  }
  const [, name = '', first, last] =
    /^(.*?)(?:\s*,\s*bars?\s+(\d{1,4})(?:\s*(?:-|–|to)\s*(\d{1,4}))?)?$/iu.exec(value.text) ?? [];
  const source = above.find((section) => section.name === name);
  if (!source) {
    say(notAbove(lines.name.text, name, value, above));
    return undefined;
  }
  if (first === undefined) return { source, value, like: { section: name } };
  const skip = unnumbered(source.bars);
  const like = { section: name, from: Number(first) + skip, to: Number(last ?? first) + skip };
  if (like.from >= 1 && like.from <= like.to && like.to <= source.bars.length) {
    return { source, value, like };
  }
  const message = `‘${name}’ has no bars ${first}–${last ?? first}`;
  const cure = `Choose bars from 1 to ${barNumber(source.bars, source.bars.length - 1)}, the first before the last.`;
  const remedy = replaceWith(value, barsMeant(name, Number(first), Number(last ?? first), source));
  say({ code: 'like-bars', message, cure, span: spanOf(value), remedy });
  return { source, value, like: { section: name } };
}

/** "bars 6–3" the other way round, those that there are of "bars 3–90"; else the whole section. */
function barsMeant(name: string, first: number, last: number, { bars }: Section): string {
  const end = barNumber(bars, bars.length - 1);
  const [from, to] = [Math.max(1, Math.min(first, last)), Math.min(end, Math.max(first, last))];
  return from <= to ? `${name}, bars ${from}–${to}` : name;
}

const nothingToChange = (bars: Value): Problem => ({
  code: 'change-alone',
  message: 'the bars change nothing: none are borrowed',
  cure: 'Write “like: Verse” under the section’s name, or the bars without “bar 3:”.',
  span: spanOf(bars),
});

function notAbove(section: string, name: string, value: Value, above: readonly Section[]): Problem {
  const names = above.map((one) => one.name);
  const meant = near(name, names);
  return {
    code: 'like-section',
    message: `‘${section}’ borrows from ‘${name.slice(0, 40)}’, which does not stand above it`,
    cure: names.length > 0 ? `Choose one of ${names.join(', ')}.` : 'Write its bars out.',
    span: spanOf(value),
    ...(meant !== undefined && { remedy: replaceWith(value, meant) }),
  };
}

/** The bars as they are played in the meter of the section that borrows them, all at the place of “like:”. */
export function borrowedAsBuilt(
  { source, value, like }: Borrowing,
  chartMeter: Meter,
  meter: Meter,
): BuiltBar[] {
  let running = meter;
  return borrowedBars(source, like, chartMeter, meter).map((bar): BuiltBar => {
    running = bar.meter ?? running;
    const span = spanOf(value);
    return {
      bar,
      meter: running,
      span,
      chordSpans: [],
      problems: [],
      advice: [],
      timesTyped: true,
    };
  });
}
