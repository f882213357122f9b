// What one verdict does to where a climb stands: counting, climbing, dropping, owning.
import type { Verdict } from '../model/pass.ts';
import type { ClimbEffect, ClimbPass, ClimbState, Footing, Side, Footholds } from './model.ts';

/** A rung is owned when four of its last five judged passes are clean (ours, no source). */
const OWNED_OF = 5;
const OWNED_CLEAN = 4;

/** A rung on which nothing was counted yet. */
export const fresh = (rung: number): Footing => ({ rung, cleans: 0, misses: 0 });

/** Where a climb stands before its first pass; `owned` is the rung that the log calls owned. */
export function firstFootholds(
  rules: ClimbState['rules'],
  targetRung: number,
  owned: number,
): Footholds {
  const lower = { straight: 0, leap: Math.min(owned, Math.max(0, targetRung - 1)) };
  const rung = rules.route === 'at-target' ? targetRung : lower[rules.route];
  return { lower: fresh(rung), upper: fresh(targetRung), owned, topped: false };
}

/** The side on which the pass after `last` is played. A leap on a ladder of one rung has one side. */
export function nextSide(state: ClimbState, last: ClimbPass | undefined): Side {
  if (state.rules.route !== 'leap') return 'lower';
  if (state.rungs.length === 1) return 'upper';
  return last?.side === 'lower' ? 'upper' : 'lower';
}

export interface Counted {
  readonly footholds: Footholds;
  readonly effects: readonly ClimbEffect[];
}

/**
 * Counts a verdict on `pass`. A pass played on a rung that the climb has since left is recorded but
 * moves nothing, and so is a miss during which the audio failed.
 */
export function count(state: ClimbState, pass: ClimbPass, verdict: Verdict): Counted {
  const owned = ownedAfter(state, pass, verdict);
  const footholds: Footholds = { ...state.footholds, owned };
  const stood = footholds[pass.side];
  const excused = pass.underrun && verdict === 'missed';
  if (stood.rung !== pass.rung || excused) return { footholds, effects: [] };
  const counted: Footing = {
    rung: stood.rung,
    cleans: verdict === 'clean' ? stood.cleans + 1 : 0,
    misses: verdict === 'missed' ? stood.misses + 1 : 0,
  };
  if (counted.cleans >= state.rules.cleanToClimb) return climb(state, footholds, pass, counted);
  // With a partner misses are answered, not counted off.
  if (state.partner !== null && counted.misses > 0) return stay(state, footholds, pass, counted);
  if (counted.misses >= state.rules.missedToDrop) return drop(state, footholds, pass, counted);
  return stay(state, footholds, pass, counted);
}

function climb(state: ClimbState, footholds: Footholds, pass: ClimbPass, at: Footing): Counted {
  const { side } = pass;
  if (at.rung < ceiling(state, footholds, side)) {
    return stride(state, at.rung, side)
      ? move(footholds, side, at.rung + 2, 'climbed', 2)
      : move(footholds, side, at.rung + 1, 'climbed');
  }
  const waiting = state.rules.route === 'leap' && side === 'lower';
  if (waiting) return stay(state, footholds, pass, at);
  return { footholds: { ...footholds, [side]: at, topped: true }, effects: [] };
}

/** So many clean passes in a row earn two rungs at once (ours, no source). */
const RUN = 4;

function stride({ partner, rules, targetRung }: ClimbState, rung: number, side: Side): boolean {
  const cleans = (partner?.cleans ?? -1) + 1;
  return (
    side === 'lower' &&
    rules.route === 'straight' &&
    cleans >= RUN &&
    cleans % RUN === 0 &&
    rung + 2 < targetRung
  );
}

function drop(state: ClimbState, footholds: Footholds, pass: ClimbPass, at: Footing): Counted {
  const { side } = pass;
  const floor = side === 'upper' || state.rules.route === 'at-target' ? state.targetRung : 0;
  const to = Math.max(floor, dropTo(state, footholds, at.rung));
  if (to >= at.rung) return stay(state, footholds, pass, at);
  const dropped = move(footholds, side, to, 'dropped');
  return { ...dropped, effects: [...dropped.effects, ...suggestion(state, pass)] };
}

/**
 * The rung below by the rules: one down, or half-way to the one that is owned. May lie below the first: the caller
 * bounds it.
 */
export function dropTo(state: ClimbState, footholds: Footholds, rung: number): number {
  const { owned } = footholds;
  const halfWay = state.rules.drop === 'half-way' && owned < rung;
  return halfWay ? Math.floor((rung + owned) / 2) : rung - 1;
}

/** The lower side of a leap stays below the upper one; everyone else may reach the highest rung. */
function ceiling(state: ClimbState, footholds: Footholds, side: Side): number {
  const belowUpper = state.rules.route === 'leap' && side === 'lower';
  return belowUpper ? Math.max(0, footholds.upper.rung - 1) : state.rungs.length - 1;
}

function move(
  footholds: Footholds,
  side: Side,
  rung: number,
  direction: 'climbed' | 'dropped',
  by = 1,
): Counted {
  return {
    footholds: { ...footholds, [side]: fresh(rung) },
    effects: [{ kind: 'moved', move: direction, side, rung, ...(by > 1 && { by }) }],
  };
}

function stay(state: ClimbState, footholds: Footholds, pass: ClimbPass, at: Footing): Counted {
  return { footholds: { ...footholds, [pass.side]: at }, effects: suggestion(state, pass) };
}

/** All passes of this climb on the rung count, so that going to and fro between two rungs is seen too. */
function suggestion(state: ClimbState, pass: ClimbPass): readonly ClimbEffect[] {
  const { longestOnRung } = state.rules;
  const before = state.passes.filter(
    (p) => p.number < pass.number && p.rung === pass.rung && p.side === pass.side && isJudged(p),
  );
  const passes = before.length + 1;
  const long = longestOnRung > 0 && passes % longestOnRung === 0;
  return long ? [{ kind: 'suggest', rung: pass.rung, passes }] : [];
}

function ownedAfter(state: ClimbState, pass: ClimbPass, verdict: Verdict): number {
  const before = state.passes.filter(
    (p) => p.rung === pass.rung && p.number < pass.number && isJudged(p),
  );
  const last = [...before.map((p) => p.verdict), verdict].slice(-OWNED_OF);
  const cleans = last.filter((v) => v === 'clean').length;
  const owns = last.length === OWNED_OF && cleans >= OWNED_CLEAN;
  return owns ? Math.max(state.footholds.owned, pass.rung) : state.footholds.owned;
}

const isJudged = (pass: ClimbPass): boolean =>
  pass.verdict === 'clean' || pass.verdict === 'missed';
