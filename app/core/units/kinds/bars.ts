// Some bars of one section, as short as one.
import { type Problem, fail, ok } from '../../base/result.ts';
import { barNumber } from '../../chart/form/bar-number.ts';
import { findSection } from '../../chart/form/form.ts';
import type { ChartBody, Section } from '../../model/chart.ts';
import type { UnitRef } from '../../model/unit.ts';
import { sectionInContext } from '../bars/places.ts';
import { playBars, soundingAfter } from '../bars/played-bars.ts';
import { type KindOfUnit, nowhereElse } from './kind.ts';

export const bars: KindOfUnit<'bars'> = {
  /**
   * The shortest stretch of the section as played that starts with bar `from` and ends with bar `to`:
   * a second ending is reached from the bars before the first one, as on paper.
   */
  resolve(chart, ref) {
    const found = sectionInContext(chart, ref.section);
    if (!found.ok) return found;
    const { bars, before } = found.value;
    const numbers = bars.map((bar) => bar.written.bar);
    const range = shortestRange(numbers, ref.from, ref.to);
    if (!range) return fail(barsGone(ref, findSection(chart, ref.section)!));
    const [start, end] = range;
    const earlier = bars.slice(0, start).map((bar) => bar.written);
    const played = playBars(
      chart,
      bars.slice(start, end + 1),
      soundingAfter(chart, earlier, before),
    );
    return ok({ name: nameOf(ref, findSection(chart, ref.section)!), bars: played });
  },
  list: nowhereElse,
  placesLike: rangesLike,
};

/** Bars are called by their numbers; a pickup has none. */
function nameOf({ section, from, to }: UnitRef<'bars'>, { bars: written }: Section): string {
  const [first, last] = [barNumber(written, from - 1), barNumber(written, to - 1)];
  if (first === 0 && last === 0) return `${section}, the pickup`;
  if (first === 0) return `${section}, the pickup to bar ${last}`;
  return first === last ? `${section}, bar ${first}` : `${section}, bars ${first}–${last}`;
}

function shortestRange(
  played: readonly number[],
  from: number,
  to: number,
): readonly [number, number] | undefined {
  let best: readonly [number, number] | undefined;
  played.forEach((bar, start) => {
    const end = bar === from ? played.indexOf(to, start) : -1;
    if (end >= 0 && (!best || end - start < best[1] - best[0])) best = [start, end];
  });
  return best;
}

function rangesLike(chart: ChartBody, ref: UnitRef<'bars'>): UnitRef<'bars'>[] {
  const length = ref.to - ref.from;
  return chart.sections.flatMap(({ name, bars }) =>
    bars.slice(length).map((_, i) => ({
      kind: 'bars' as const,
      section: name,
      from: i + 1,
      to: i + 1 + length,
    })),
  );
}

const barsGone = (ref: UnitRef<'bars'>, section: Section): Problem => ({
  code: 'unit-bars-gone',
  message: `‘${ref.section}’ has ${section.bars.length} bars, and bar ${ref.to} never follows bar ${ref.from}`,
  cure: `Choose bars from 1 to ${section.bars.length}, the first before the last.`,
});
