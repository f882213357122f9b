// What a lesson sheet shows beside the chart itself: a shape per chord, ladders to tick off.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { listUnits, resolveUnit } from '../../../app/core/units/resolve.ts';
import type { Shape } from '../../../app/core/fretboard/shape.ts';
import { handsFor } from '../../../app/core/units/hands/hardest.ts';
import { pretty } from '../../../app/core/harmony/notes.ts';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { rungs } from '../../../app/core/ladder/rungs.ts';
import { suggestRules } from '../../../app/core/ladder/suggest.ts';
import { active, type Assignment } from '../../../app/core/progress/assignment.ts';
import type { Bpm, IsoDate } from '../../../app/core/base/units.ts';

export interface SheetShape {
  readonly symbol: string;
  readonly shape: Shape;
}

/** One shape per chord symbol in order of appearance: the pinned one, or the one on the easiest way through. */
export function shapesOf(chart: Chart): readonly SheetShape[] {
  const found = new Map<string, Shape>();
  for (const unit of unitsToWalk(chart)) {
    for (const step of handsFor(unit, unit.tempo.bpm, chart.shapes).path.steps) {
      if (step.kind !== 'shape') continue;
      const symbol = pretty(step.chord.symbol);
      if (!found.has(symbol)) found.set(symbol, step.shape);
    }
  }
  return [...found].map(([symbol, shape]) => ({ symbol, shape }));
}

/** The whole form in one go where there is one, so that shapes fit each other; else section by section. */
function unitsToWalk(chart: Chart): readonly Unit[] {
  const form = resolveUnit(chart, { kind: 'form' });
  if (form.ok) return [form.value];
  return listUnits(chart).filter(({ ref }) => ref.kind === 'section');
}

/** A ladder to tick off: as many boxes per rung as clean passes are asked for. */
export interface SheetLadder {
  readonly name: string;
  readonly rules: LadderRules;
  readonly rungs: readonly Bpm[];
  readonly boxes: number;
  readonly due?: IsoDate;
  readonly note: string;
}

/** Of what was set in this chart; where nothing was, suggested ladders of its sections. */
export function laddersOf(chart: Chart, assignments: readonly Assignment[]): SheetLadder[] {
  const set = active(assignments).filter((one) => one.chart.id === chart.id);
  if (set.length > 0) {
    return set.map(({ unit, terms }) => ({
      ...ladderOf(unit.name, terms.rules),
      note: terms.note,
      ...(terms.due === undefined ? {} : { due: terms.due }),
    }));
  }
  return listUnits(chart)
    .filter(({ ref }) => ref.kind === 'section' || ref.kind === 'form')
    .map((unit) => ({ ...ladderOf(unit.name, suggestRules(unit)), note: '' }));
}

function ladderOf(name: string, rules: LadderRules): Omit<SheetLadder, 'note'> {
  const found = rungs(rules);
  return { name, rules, rungs: found.ok ? found.value : [rules.target], boxes: rules.cleanToClimb };
}
