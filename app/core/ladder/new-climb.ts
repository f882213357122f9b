// A climb, or a search for a start tempo, before its first sound.
import { ok, type Result } from '../base/result.ts';
import type { Bpm } from '../base/units.ts';
import { findingGrid } from './finding.ts';
import type { ClimbState, LadderRules, Partner, Footholds } from './model.ts';
import { rungs } from './rungs.ts';
import { firstFootholds } from './footholds.ts';

/**
 * A climb that has not begun. `ownedTempo` is the unit's owned tempo according to the log, if any;
 * the highest rung at or under it counts as owned. A `partner` answers misses. Fails as {@link rungs} does.
 */
export function newClimb(
  rules: LadderRules,
  ownedTempo?: Bpm,
  partner: Partner | null = null,
): Result<ClimbState> {
  const found = rungs(rules);
  if (!found.ok) return found;
  const targetRung = found.value.length - 1 - rules.above;
  const owned = Math.max(
    0,
    found.value.findLastIndex((bpm) => bpm <= (ownedTempo ?? 0)),
  );
  const footholds = firstFootholds(rules, targetRung, owned);
  return ok({ ...ready(rules, found.value, targetRung, footholds), partner });
}

/**
 * A search for a start tempo: passes at the tempos it asks for, from `rules.start` on, until it has
 * found. It never plays on without a rest, and has no limits of its own. Fails as {@link rungs} does.
 */
export function newFinding(rules: LadderRules): Result<ClimbState> {
  const asked = rungs(rules);
  if (!asked.ok) return asked;
  const { grid, startRung, targetRung } = findingGrid(rules);
  const restBars = Math.max(1, rules.restBars);
  const kept: LadderRules = { ...rules, route: 'straight', restBars, maxPasses: 0, maxMinutes: 0 };
  const lower = { rung: startRung, cleans: 0, misses: 0 };
  const footholds: Footholds = { lower, upper: lower, owned: 0, topped: false };
  return ok({ ...ready(kept, grid, targetRung, footholds), finding: true });
}

function ready(
  rules: LadderRules,
  all: readonly Bpm[],
  targetRung: number,
  footholds: Footholds,
): ClimbState {
  return {
    finding: false,
    rules,
    rungs: all,
    targetRung,
    phase: 'ready',
    passes: [],
    footholds,
    planned: null,
    undoable: null,
    partner: null,
    pause: null,
    begunAt: null,
    pausedFor: 0,
    timeUp: false,
    finished: null,
  };
}
