// Finds a comfortable start tempo in a few passes: an adaptive staircase that settles near 78 % clean.
import type { Verdict } from '../model/pass.ts';
import { MAX_BPM, MIN_BPM, type Bpm, type Share } from '../base/units.ts';

/**
 * Harder after every clean pass, easier after every missed one, the harder step 0.2845 of the easier:
 * such a staircase settles at 77.85 % clean (García-Pérez 1998, Vision Research, 1-down-1-up). It is
 * where steps up and down balance: p · 0.2845 = 1 − p.
 */
export const UP_TO_DOWN = 0.2845;
export const SETTLES_AT: Share = 1 / (1 + UP_TO_DOWN);

/** Steps are shares of the tempo: a tempo is heard and felt in proportion. */
export interface FinderRules {
  /** Way up after each clean pass until the first miss. */
  readonly approach: Share;
  /** First and smallest way down after a missed pass, and by how much it shrinks at each turn. */
  readonly firstDown: Share;
  readonly leastDown: Share;
  readonly shrink: number;
  /** The search ends after this many turns between clean and missed, or this many passes. */
  readonly turns: number;
  readonly maxPasses: number;
}

/**
 * Chosen by simulation for 10–12 passes (tests/unit/ladder/tempo-finder.test.ts): smaller steps need
 * more passes, larger ones scatter more.
 */
export const USUAL_FINDER: FinderRules = {
  approach: 0.1,
  firstDown: 0.25,
  leastDown: 0.06,
  shrink: 0.6,
  turns: 5,
  maxPasses: 12,
};

export interface FinderPass {
  readonly bpm: Bpm;
  readonly verdict: Verdict;
}

/** `start` is the tempo to begin a ladder at; the search went to and fro between `low` and `high`. */
export interface Found {
  readonly start: Bpm;
  readonly low: Bpm;
  readonly high: Bpm;
}

export interface FinderState {
  readonly rules: FinderRules;
  readonly passes: readonly FinderPass[];
  /** Tempo of the next pass: whole bpm, 20–400. */
  readonly bpm: Bpm;
  /** Where the staircase stands: natural logarithm of the tempo, unrounded. */
  readonly level: number;
  readonly down: Share;
  readonly turns: number;
  /** Set when the search is over. */
  readonly found: Found | null;
}

/** A search whose first pass is at `from`, which should feel easy. */
export function beginFinder(from: Bpm, rules: FinderRules = USUAL_FINDER): FinderState {
  const level = clampLevel(Math.log(from));
  return {
    rules,
    passes: [],
    bpm: played(level),
    level,
    down: rules.firstDown,
    turns: 0,
    found: null,
  };
}

/**
 * The search after a pass was judged, at `state.bpm` or at what was in fact played. Once it has found,
 * nothing changes any more.
 */
export function judgeFinder(
  state: FinderState,
  verdict: Verdict,
  bpm: Bpm = state.bpm,
): FinderState {
  if (state.found !== null) return state;
  const { rules } = state;
  const last = state.passes.at(-1)?.verdict;
  const turned = last !== undefined && last !== verdict;
  const down = turned ? Math.max(rules.leastDown, state.down * rules.shrink) : state.down;
  const missedBefore = verdict === 'missed' || state.passes.some((p) => p.verdict === 'missed');
  const up = missedBefore ? down * UP_TO_DOWN : rules.approach;
  const level = clampLevel(state.level + (verdict === 'clean' ? up : -down));
  const passes = [...state.passes, { bpm, verdict }];
  const turns = state.turns + (turned ? 1 : 0);
  const over = turns >= rules.turns || passes.length >= rules.maxPasses;
  const found = over ? settle(passes, level) : null;
  return { rules, passes, bpm: played(level), level, down, turns, found };
}

/** The mean of what follows the first clean pass after a miss, next tempo included; the way there says nothing. */
function settle(passes: readonly FinderPass[], next: number): Found {
  const firstMiss = passes.findIndex((p) => p.verdict === 'missed');
  const back = passes.findIndex((p, i) => i > firstMiss && p.verdict === 'clean');
  const from = firstMiss < 0 || back < 0 ? passes.length : back + 1;
  const levels = [...passes.slice(from).map((p) => Math.log(p.bpm)), next];
  const mean = levels.reduce((sum, level) => sum + level, 0) / levels.length;
  return {
    start: played(mean),
    low: played(Math.min(...levels)),
    high: played(Math.max(...levels)),
  };
}

const played = (level: number): Bpm => Math.round(Math.exp(level));

const clampLevel = (level: number): number =>
  Math.min(Math.log(MAX_BPM), Math.max(Math.log(MIN_BPM), level));
