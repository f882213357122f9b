// Ranks the changes of a unit by how much the hand must do in how little time.
import type { Tuning } from '../chart/model.ts';
import type { Unit } from '../chart/unit-model.ts';
import type { Bpm, Seconds } from '../units.ts';
import { type Change, changeBetween } from './change.ts';
import { type Path, bestPath } from './path.ts';
import { reasonFor } from './reason.ts';
import { type ShapeOptions, USUAL_OPTIONS } from './search.ts';
import type { Shape } from './shape.ts';
import { chordSteps } from './time-between.ts';

export interface TightChange {
  readonly from: string;
  readonly to: string;
  readonly fromShape: Shape;
  readonly toShape: Shape;
  readonly change: Change;
  /** Least time the music gives for it anywhere in the unit. */
  readonly gap: Seconds;
  /** Cost per second; ranks only. */
  readonly tightness: number;
  /** Bars of the unit (0-based) in which this change happens. */
  readonly bars: readonly number[];
  /** "three fingers lift, barre forms, 7 frets up, 353 ms". */
  readonly reason: string;
}

/** Every different change along a path once, tightest first; equal ones in playing order. */
export function tightestFirst(
  path: Path,
  options: Partial<ShapeOptions> = {},
): readonly TightChange[] {
  const neck = options.neck ?? USUAL_OPTIONS.neck;
  const found = new Map<string, TightChange>();
  path.steps.forEach((step, i) => {
    const before = path.steps[i - 1];
    if (step.kind !== 'shape' || before?.kind !== 'shape' || step.step.gap === undefined) return;
    const change = changeBetween(before.shape, step.shape, neck);
    const { gap, bar } = step.step;
    const key = [before.step.symbol, before.shape.frets, step.step.symbol, step.shape.frets].join(
      ' ',
    );
    const known = found.get(key);
    const least = Math.min(gap, known?.gap ?? gap);
    found.set(key, {
      from: before.step.symbol,
      to: step.step.symbol,
      fromShape: before.shape,
      toShape: step.shape,
      change,
      gap: least,
      tightness: change.cost / least,
      bars: [...(known?.bars ?? []), bar],
      reason: reasonFor(change, least),
    });
  });
  return [...found.values()].sort((a, b) => b.tightness - a.tightness);
}

/** A unit's best shapes and its changes, tightest first, at a tempo. */
export function handsFor(
  unit: Unit,
  bpm: Bpm,
  options: Partial<ShapeOptions> = {},
): { readonly path: Path; readonly tightest: readonly TightChange[] } {
  const tuning: Tuning = unit.tuning;
  const neck = { ...(options.neck ?? USUAL_OPTIONS.neck), capo: unit.capo };
  const path = bestPath(chordSteps(unit, bpm), tuning, { ...options, neck });
  return { path, tightest: tightestFirst(path, { neck }) };
}
