// The short ways off a climb that answer a miss: the unit that is played, and by which rules.
import type { Answer, LadderRules } from '../../../app/core/ladder/model.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { drillUnit } from './drill.ts';

type Detour = Extract<Answer, { kind: 'drill' | 'piece' }>;

/** Undefined where the chart does not hold it, or it would be the unit itself. */
export function detourUnit(chart: Chart, unit: Unit, answer: Detour): Unit | undefined {
  if (answer.kind === 'drill') return drillUnit(chart, unit, answer.place);
  const [first, last] = [unit.bars[answer.from], unit.bars[answer.to]];
  if (!first || !last || first.section !== last.section || last.bar < first.bar) return undefined;
  const found = resolveUnit(chart, {
    ...{ kind: 'bars', section: first.section },
    ...{ from: first.bar, to: last.bar },
  });
  return found.ok && found.value.fingerprint !== unit.fingerprint ? found.value : undefined;
}

/** Passes of a piece that is right: then the whole again. */
const RIGHT = 2;
const MOST_OF_PIECE = 4;

/** So often right in a row, a drill is over before its time (ours, no source). */
const DRILLED = 4;

/** At one tempo: a drill is looped for its time or until it is right, a piece is played four times at most. */
export function detourRules(unit: Unit, rules: LadderRules, answer: Detour): LadderRules {
  const level: LadderRules = {
    ...rules,
    ...{ start: answer.bpm, target: answer.bpm, route: 'at-target', above: 0 },
    ...{ missedToDrop: 10, longestOnRung: 0, maxMinutes: 0 },
  };
  if (answer.kind === 'piece') {
    return {
      ...level,
      cleanToClimb: RIGHT,
      maxPasses: MOST_OF_PIECE,
      restBars: Math.max(1, rules.restBars),
    };
  }
  const { unitStart, unitEnd } = buildLap(unit, answer.bpm, BARE_LAP);
  const maxPasses = Math.max(2, Math.round(answer.seconds / (unitEnd - unitStart)));
  return { ...level, cleanToClimb: DRILLED, restBars: 0, maxPasses };
}
