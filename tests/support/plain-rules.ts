// The rules of a ladder that tests begin with: all that can be chosen is off, and one verdict moves.
import type { LadderRules } from '../../app/core/ladder/model.ts';

/** Rungs 60, 70, 80, 90, 100; one clean pass climbs, one missed pass drops. */
export const PLAIN_RULES: LadderRules = {
  start: 60,
  target: 100,
  beat: 'quarter',
  step: { kind: 'bpm', by: 10 },
  route: 'straight',
  above: 0,
  cleanToClimb: 1,
  missedToDrop: 1,
  drop: 'one-rung',
  longestOnRung: 0,
  maxPasses: 0,
  maxMinutes: 0,
  restBars: 1,
};
