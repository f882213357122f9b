// The unit and the ladder that drill one weak change, made from the climb in which it broke.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { BreakPlace, PlayedBar, Unit, UnitRef } from '../../../app/core/model/unit.ts';
import { listedPair } from '../../../app/core/units/kinds/pair.ts';
import { listUnits, resolveUnit } from '../../../app/core/units/resolve.ts';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { type Bpm, MIN_BPM } from '../../../app/core/base/units.ts';

/** The join where the change crosses one, else the pair of chords, or the lead alone; undefined if that is it already. */
export function drillUnit(chart: Chart, unit: Unit, weak: BreakPlace): Unit | undefined {
  const found = unit.lead
    ? leadAlone(chart, unit)
    : (joinOf(chart, unit, weak) ?? pairOf(chart, weak));
  return found && found.fingerprint !== unit.fingerprint ? found : undefined;
}

function pairOf(chart: Chart, { from, to }: BreakPlace): Unit | undefined {
  const pair = from === '' ? undefined : listedPair(chart, from, to);
  return pair && resolved(chart, pair);
}

function leadAlone(chart: Chart, { ref }: Unit): Unit | undefined {
  return ref.kind === 'lead' ? resolved(chart, { ...ref, reach: 'alone' }) : undefined;
}

function resolved(chart: Chart, ref: UnitRef): Unit | undefined {
  const found = resolveUnit(chart, ref);
  return found.ok ? found.value : undefined;
}

/** A change at the first beat of a section, out of the section before. */
function joinOf(chart: Chart, unit: Unit, weak: BreakPlace): Unit | undefined {
  const [before, after] = [unit.bars[weak.bar - 1], unit.bars[weak.bar]];
  if (!before || !after || before.section === after.section) return undefined;
  return listUnits(chart, 'join').find(({ bars }) =>
    bars.some((bar, i) => same(bar, after) && i > 0 && same(bars[i - 1]!, before)),
  );
}

const same = (a: PlayedBar, b: PlayedBar): boolean => a.section === b.section && a.bar === b.bar;

/** Begins at this share of the tempo at which the change broke (ours, no source). */
const FROM: number = 0.7;
const STEPS = 5;

/** Up to the tempo at which it broke, and no further: there the climb goes on. */
export function drillRules(rules: LadderRules, brokeAt: Bpm): LadderRules {
  const by = Math.max(1, Math.round(((1 - FROM) * brokeAt) / STEPS));
  const start = Math.max(MIN_BPM, brokeAt - by * STEPS);
  return {
    ...rules,
    start,
    target: brokeAt,
    step: { kind: 'bpm', by },
    route: start === brokeAt ? 'at-target' : 'straight',
    above: 0,
    cleanToClimb: 2,
    missedToDrop: 2,
    drop: 'one-rung',
    restBars: Math.max(1, rules.restBars),
  };
}
