// Places in a song that is played through: where it broke, what to drill of that, what is hard, where a section begins.
import { howBroken } from '../../../app/core/ear/broken.ts';
import type { VerdictRule } from '../../../app/core/ear/verdict.ts';
import type { Chart, ChartShape } from '../../../app/core/model/chart.ts';
import type { Unit, UnitRef } from '../../../app/core/model/unit.ts';
import { neckOf, unitPath } from '../../../app/core/units/hands/hands.ts';
import { hardestFirst } from '../../../app/core/units/hands/hardest.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import type { EarReport } from '../ear/climb-ear.svelte.ts';

/** Where it broke: told by the player while the song ran, or found by the ear afterwards. */
export interface BrokenPlace {
  /** Bar of the unit, from 0. */
  readonly bar: number;
  readonly by: 'player' | 'ear';
}

/** The place that broke is drilled with so many bars on each side. */
const AROUND = 1;

/** So many kinds of change are offered as the hard ones (ours, no source). */
const HARD_CHANGES = 3;

/** In the order of the bars, each once; what the player said goes before what the ear found. */
export function brokenPlaces(
  said: readonly number[],
  report: Pick<EarReport, 'changes' | 'beat'> | undefined,
  rule: VerdictRule,
): readonly BrokenPlace[] {
  const heard = (report?.changes ?? [])
    .filter((change) => howBroken(change, rule, report!.beat) !== undefined)
    .map(({ bar }) => bar);
  const byEar = [...new Set(heard)].filter((bar) => !said.includes(bar));
  return [
    ...said.map((bar) => ({ bar, by: 'player' as const })),
    ...byEar.map((bar) => ({ bar, by: 'ear' as const })),
  ].toSorted((a, b) => a.bar - b.bar);
}

/** Bars (from 1) in which the hardest changes are made. */
export function hardBarsOf(unit: Unit, shapes: readonly ChartShape[]): readonly number[] {
  const hardest = hardestFirst(unitPath(unit, shapes), neckOf(unit)).slice(0, HARD_CHANGES);
  const bars = hardest.flatMap((change) => change.bars.map((bar) => bar + 1));
  return [...new Set(bars)].sort((a, b) => a - b);
}

/** The bar with which the section of this one begins, both from 0. */
export function sectionStart({ bars }: Unit, bar: number): number {
  let start = Math.max(0, bar);
  const here = bars[start];
  const same = (i: number) => bars[i]?.section === here?.section && bars[i]?.time === here?.time;
  while (start > 0 && same(start - 1)) start--;
  return start;
}

/** What to drill of a bar (from 0) in which it broke: with one on each side in its own section, as the chart writes them. */
export function drillUnit(chart: Chart, unit: Unit, bar: number): Unit | undefined {
  const here = unit.bars[bar];
  if (!here) return undefined;
  const inSection = (i: number) =>
    unit.bars[i]?.section === here.section && unit.bars[i]?.time === here.time;
  const from = inSection(bar - AROUND) ? unit.bars[bar - AROUND]! : here;
  const to = inSection(bar + AROUND) ? unit.bars[bar + AROUND]! : here;
  const ref: UnitRef = { kind: 'bars', section: here.section, from: from.bar, to: to.bar };
  const found = resolveUnit(chart, ref);
  return found.ok ? found.value : undefined;
}
