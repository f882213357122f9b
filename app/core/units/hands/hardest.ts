// Ranks the changes of a unit by how much the hand must do in how little time.
import type { ChartShape } from '../../model/chart.ts';
import type { Unit } from '../../model/unit.ts';
import type { Bpm, Seconds } from '../../base/units.ts';
import { type ShapeChange, changeBetween } from '../../fretboard/change.ts';
import { type Neck, USUAL_NECK } from '../../fretboard/geometry.ts';
import type { Path } from '../../fretboard/path.ts';
import type { Shape } from '../../fretboard/shape.ts';
import { neckOf, unitPath } from './hands.ts';

export interface HardChange {
  readonly from: string;
  readonly to: string;
  readonly fromShape: Shape;
  readonly toShape: Shape;
  readonly change: ShapeChange;
  /** Least time the music gives for it anywhere in the unit. */
  readonly gap: Seconds;
  /** Cost per second; ranks only. */
  readonly hardness: number;
  /** Bars of the unit (0-based) in which this change happens. */
  readonly bars: readonly number[];
}

/**
 * Every different change along a path once, hardest first; equal ones in playing order. `slower`
 * stretches the path's times: 2 is half the tempo that it was made for.
 */
export function hardestFirst(
  path: Path,
  neck: Neck = USUAL_NECK,
  slower = 1,
): readonly HardChange[] {
  const found = new Map<string, HardChange>();
  path.steps.forEach((step, i) => {
    const before = path.steps[i - 1];
    if (step.kind !== 'shape' || before?.kind !== 'shape' || step.step.gap === undefined) return;
    const key = [before, step]
      .map((s) => `${s.step.chord.symbol} ${s.shape.frets.join()}`)
      .join(' ');
    const known = found.get(key);
    const change = known?.change ?? changeBetween(before.shape, step.shape, neck);
    const gap = Math.min(step.step.gap * slower, known?.gap ?? Infinity);
    found.set(key, {
      from: before.step.chord.symbol,
      to: step.step.chord.symbol,
      fromShape: before.shape,
      toShape: step.shape,
      change,
      gap,
      hardness: change.cost / gap,
      bars: [...(known?.bars ?? []), step.step.bar],
    });
  });
  return [...found.values()].sort((a, b) => b.hardness - a.hardness);
}

/** A unit's shapes, and its changes at a tempo, hardest first. */
export function handsFor(
  unit: Unit,
  bpm: Bpm,
  shapes: readonly ChartShape[] = [],
): { readonly path: Path; readonly hardest: readonly HardChange[] } {
  const path = unitPath(unit, shapes);
  return { path, hardest: hardestFirst(path, neckOf(unit), unit.tempo.bpm / bpm) };
}
