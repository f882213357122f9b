// A ladder to begin with for a unit: what the set-up screen shows before anyone has chosen anything.
import type { Unit } from '../chart/unit-model.ts';
import { MAX_BPM, MIN_BPM, type Bpm } from '../units.ts';
import type { LadderRules, Step } from './model.ts';

/** Where nothing is known yet, begin at this share of the target (common practice, no source). */
const FIRST_START = 0.6;
/** Begin this far under an owned tempo, so that the first rung is a warm-up (common practice, no source). */
const WARM_UP = 0.92;
/** As many steps as fit a short sitting (common practice, no source). */
const STEPS = 8;
/** A smaller change of tempo is hardly heard: 2.6 % at 60 bpm (mazurka.org.uk experiments page). */
const LEAST_STEP = 0.026;

/**
 * Rules that suit `unit`: from well under its tempo, or just under what is owned already, up to its
 * tempo. `ownedTempo` counts the unit's own beat. Always valid input for `rungs`.
 */
export function suggestRules(unit: Unit, ownedTempo?: Bpm): LadderRules {
  const target = clamp(unit.tempo.bpm);
  const share = ownedTempo === undefined ? FIRST_START * target : WARM_UP * ownedTempo;
  const start = Math.min(target, clamp(Math.round(share)));
  return {
    start,
    target,
    beat: unit.tempo.beat,
    step: suggestStep(start, target),
    route: start === target ? 'at-target' : 'straight',
    above: 0,
    cleanToClimb: 2,
    missedToDrop: 2,
    drop: 'one-rung',
    longestOnRung: 8,
    maxPasses: 0,
    maxMinutes: 10,
    restBars: unit.bars.length > 2 ? 1 : 2,
  };
}

function suggestStep(start: Bpm, target: Bpm): Step {
  const by = Math.max((target - start) / STEPS, LEAST_STEP * start, 1);
  return { kind: 'bpm', by: Math.min(50, Math.round(by)) };
}

const clamp = (bpm: Bpm): Bpm => Math.min(MAX_BPM, Math.max(MIN_BPM, bpm));
