// What a lesson sheet shows beside the chart itself: a shape per chord, ladders to tick off.
import type { Chart, Section } from '../../../app/core/model/chart.ts';
import { type Barres, shapesHeld } from '../../../app/core/units/hands/fewest-barres.ts';
import { unitPath } from '../../../app/core/units/hands/hands.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { printFrets } from '../../../app/core/fretboard/frets.ts';
import { relationOf } from '../../../app/core/fretboard/relation.ts';
import { fingersLine, type Shape } from '../../../app/core/fretboard/shape.ts';
import { shownChord } from '../../../app/core/harmony/print.ts';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { rungs } from '../../../app/core/ladder/rungs.ts';
import { suggestRules } from '../../../app/core/ladder/suggest.ts';
import { active, type Assignment } from '../../../app/core/progress/assignment.ts';
import type { OwnedTempo } from '../../../app/core/progress/owned-tempo.ts';
import type { Bpm, IsoDate } from '../../../app/core/base/units.ts';
import type { AskLog } from '../../state/log/practice-log.svelte.ts';

export interface SheetShape {
  readonly symbol: string;
  readonly shape: Shape;
  /** Frets from string 6 to string 1: "x32010". */
  readonly frets: string;
  readonly fingers?: string;
  /** Sections that use it, in the order of the chart. */
  readonly sections: readonly string[];
  /** How it follows from the shape before it on the sheet. */
  readonly relation?: string;
}

/** Every shape that is used, in order of appearance, with the sections where it is used. */
export function shapesOf(chart: Chart, barres: Barres = 'taught'): readonly SheetShape[] {
  const held = shapesHeld(chart, barres);
  const found = new Map<string, { symbol: string; shape: Shape; sections: string[] }>();
  for (const unit of [...listUnits(chart, 'section'), ...endingsOf(chart)]) {
    for (const step of unitPath(unit, held).steps) {
      if (step.kind !== 'shape') continue;
      const symbol = shownChord(step.chord);
      const key = `${symbol} ${step.shape.frets.join()}`;
      const use = found.get(key) ?? { symbol, shape: step.shape, sections: [] };
      if (!use.sections.includes(unit.name)) use.sections.push(unit.name);
      found.set(key, use);
    }
  }
  return [...found.values()].map((use, i, all) => {
    const before = all[i - 1]?.shape;
    const relation = before && relationOf(before, use.shape);
    const fingers = fingersLine(use.shape);
    return {
      ...use,
      frets: printFrets(use.shape.frets),
      ...(fingers && { fingers }),
      ...(relation && { relation }),
    };
  });
}

/** What the form plays at the end of a section in place of its own bars, or after them, under the section's name. */
function endingsOf(chart: Chart): readonly Unit[] {
  return chart.form.flatMap(({ section: name, ending }) => {
    const section = chart.sections.find((one) => one.name === name);
    if (!section || !ending) return [];
    return listUnits(
      { ...chart, sections: [{ ...withoutLeads(section), bars: ending.bars }], form: [] },
      'section',
    );
  });
}

const withoutLeads = ({ leads: _, ...section }: Section): Section => section;

/** A ladder to tick off: as many boxes per rung as clean passes are asked for. */
export interface SheetLadder {
  readonly name: string;
  readonly rules: LadderRules;
  readonly rungs: readonly Bpm[];
  readonly boxes: number;
  readonly due?: IsoDate;
  readonly note: string;
  /** Where the player stands: the same figure as in every other room. */
  readonly owned: OwnedTempo;
}

/** Whose sheet it is: what was set, and what the log answers of what was played. */
export interface SheetPlayer {
  readonly desk: string;
  readonly assignments: readonly Assignment[];
  readonly ask: AskLog;
  readonly asOf: IsoDate;
}

/** Of what was set in this chart; where nothing was, suggested ladders of its sections. */
export async function laddersOf(
  chart: Chart,
  { desk, assignments, ask, asOf }: SheetPlayer,
): Promise<readonly SheetLadder[]> {
  const set = active(assignments).filter((one) => one.chart.id === chart.id);
  if (set.length > 0) {
    const places = new Map(await ask('log.places', { desk, asOf, assignments: set }));
    return set.map(({ id, unit, terms }) => ({
      ...{ ...ladderOf(unit.name, terms.rules), note: terms.note },
      ...(terms.due === undefined ? {} : { due: terms.due }),
      owned: places.get(id)!.standing.owned,
    }));
  }
  const units = [...listUnits(chart, 'section'), ...listUnits(chart, 'form')];
  const rules = units.map((unit) => suggestRules(unit));
  const of = units.map(({ fingerprint: bars }, i) => {
    const { beat, target } = rules[i]!;
    return { chart: chart.id, bars, beat, target, asOf };
  });
  const standings = await ask('log.standings', { desk, of });
  return units.map(({ name }, i) => ({
    ...{ ...ladderOf(name, rules[i]!), note: '' },
    owned: standings[i]!.owned,
  }));
}

function ladderOf(name: string, rules: LadderRules): Omit<SheetLadder, 'note' | 'owned'> {
  const found = rungs(rules);
  return { name, rules, rungs: found.ok ? found.value : [rules.target], boxes: rules.cleanToClimb };
}
