// How the shapes of a section follow from each other, bar by bar, as a teacher says it beside the chart.
import { relationOf } from '../fretboard/relation.ts';
import type { ChartBody, ChartShape } from '../model/chart.ts';
import { shownChord } from '../harmony/print.ts';
import { resolveUnit } from './resolve.ts';
import { unitPath } from './hands/hands.ts';

/**
 * By index of the written bar: a phrase for each change into a chord of that bar that follows from the shape before
 * it, the first time the two meet in the section: "Am: only the ring finger moves". Empty where nothing can be played.
 */
export function followsIn(
  chart: ChartBody,
  section: string,
  shapes: readonly ChartShape[] = chart.shapes,
): ReadonlyMap<number, readonly string[]> {
  const said = new Map<number, string[]>();
  const unit = resolveUnit(chart, { kind: 'section', section });
  if (!unit.ok) return said;
  const met = new Set<string>();
  const { steps } = unitPath(unit.value, shapes);
  steps.forEach((step, i) => {
    const before = steps[i - 1];
    if (step.kind !== 'shape' || before?.kind !== 'shape') return;
    const pair = `${before.shape.frets.join()} ${step.shape.frets.join()}`;
    if (met.has(pair)) return;
    met.add(pair);
    const words = relationOf(before.shape, step.shape);
    const bar = unit.value.bars[step.step.bar]?.bar;
    if (words === undefined || bar === undefined) return;
    said.set(bar - 1, [...(said.get(bar - 1) ?? []), `${shownChord(step.chord)}: ${words}`]);
  });
  return said;
}
