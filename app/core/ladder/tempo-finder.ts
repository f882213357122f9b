// Finds a comfortable start tempo in a few passes: what is known after each verdict, and the next tempo to ask.
//
// A Bayesian search (QUEST: Watson & Pelli 1983, Perception & Psychophysics 33): the chance of a clean pass
// falls logistically with log tempo, its level and steepness are known as weights on a grid, and slips at any
// tempo are allowed for (Wichmann & Hill 2001), so that one slip on the way moves little: a miss far below
// what was just clean is asked once more, because the grid itself doubts it.
import type { Verdict } from '../model/pass.ts';
import { type Bpm, type Share, withinTempos } from '../base/units.ts';

/** The search is for the tempo of this share of clean passes. */
const SETTLES_AT: Share = 0.8;

export interface FinderRules {
  /** Way up after a clean pass, and down after a missed one, at most; shares of tempo. */
  readonly mostUp: Share;
  readonly mostDown: Share;
  /** Slips to be expected at any tempo. */
  readonly lapses: Share;
  /** The search ends when the level is known this well (standard deviation, share of tempo) … */
  readonly knownTo: Share;
  /** … but not before the fewest passes, and at the latest after the most. */
  readonly leastPasses: number;
  readonly maxPasses: number;
}

/** Chosen by simulation (`npm run bench -- --only honest-finder`). */
export const USUAL_FINDER: FinderRules = {
  mostUp: 0.12,
  mostDown: 0.15,
  lapses: 0.1,
  knownTo: 0.06,
  leastPasses: 8,
  maxPasses: 14,
};

export interface FinderPass {
  readonly bpm: Bpm;
  readonly verdict: Verdict;
}

/** `start` is the tempo to begin a ladder at; four times in five it lies between `low` and `high`. */
export interface Found {
  readonly start: Bpm;
  readonly low: Bpm;
  readonly high: Bpm;
}

export interface FinderState {
  readonly rules: FinderRules;
  /** Where the search began: its first tempo should feel easy. */
  readonly from: Bpm;
  readonly passes: readonly FinderPass[];
  /** Tempo of the next pass: whole bpm, 20–400. */
  readonly bpm: Bpm;
  /** Set when the search is over. */
  readonly found: Found | null;
}

/** A search whose first pass is at `from`, which should feel easy. */
export const beginFinder = (from: Bpm, rules: FinderRules = USUAL_FINDER): FinderState => ({
  rules,
  from,
  passes: [],
  bpm: played(Math.log(from)),
  found: null,
});

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
  const { rules, from } = state;
  const passes = [...state.passes, { bpm, verdict }];
  const known = knownAfter(passes, from, rules.lapses);
  const enough = passes.length >= rules.leastPasses && known.spread <= rules.knownTo;
  const over = enough || passes.length >= rules.maxPasses;
  const now = Math.log(bpm);
  const next = Math.min(now + rules.mostUp, Math.max(now - rules.mostDown, known.middle));
  return { rules, from, passes, bpm: played(next), found: over ? settle(known) : null };
}

interface Known {
  /** Where a ladder begins: a little under the middle, since a start too fast costs more than one too slow. */
  readonly start: number;
  /** Natural logarithms of tempo. */
  readonly low: number;
  readonly middle: number;
  readonly high: number;
  readonly spread: number;
}

/** Levels from half to four times the first tempo, about 1.5 % apart; odds lost per e-fold of tempo. */
const LEVELS = Array.from({ length: 140 }, (_, i) => Math.log(0.5) + 0.015 * i);
const SLOPES = [9, 13, 19, 28, 42];
/** Before any pass: what feels easy is a quarter or so below the level, give or take a third. Our choice. */
const PRIOR = { middle: 0.25, spread: 0.3 };
const PRIORS = LEVELS.map((level) => Math.exp(-0.5 * ((level - PRIOR.middle) / PRIOR.spread) ** 2));

/** Odds against a clean pass at the first tempo, for each slope and level. */
const AGAINST = SLOPES.map((slope) =>
  Float64Array.from(LEVELS, (level) => Math.exp(-slope * level)),
);

function knownAfter(passes: readonly FinderPass[], from: Bpm, lapses: Share): Known {
  const origin = Math.log(from);
  const share = SETTLES_AT / (1 - lapses);
  const oddsAtLevel = share / (1 - share);
  const weights = new Float64Array(LEVELS.length);
  const fits = new Float64Array(LEVELS.length);
  SLOPES.forEach((slope, s) => {
    const againstAtFirst = AGAINST[s]!;
    fits.fill(1);
    for (const { bpm, verdict } of passes) {
      const against = Math.exp(slope * (Math.log(bpm) - origin)) / oddsAtLevel;
      const clean = verdict === 'clean';
      for (let i = 0; i < fits.length; i++) {
        const chance = (1 - lapses) / (1 + against * againstAtFirst[i]!);
        fits[i]! *= clean ? chance : 1 - chance;
      }
    }
    for (let i = 0; i < fits.length; i++) weights[i]! += PRIORS[i]! * fits[i]!;
  });
  return summary(weights, origin);
}

/** The share of the levels that lie below the start; chosen by simulation. */
const START: Share = 0.45;

function summary(weights: Float64Array, origin: number): Known {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const at = (share: Share): number => {
    let sum = 0;
    const i = weights.findIndex((weight) => (sum += weight) >= share * total);
    return origin + LEVELS[i]!;
  };
  const [low, high] = [at(0.1), at(0.9)];
  // 2.56 standard deviations lie between the tenths of a normal distribution.
  return { start: at(START), low, middle: at(0.5), high, spread: (high - low) / 2.56 };
}

const settle = ({ start, low, high }: Known): Found => ({
  start: played(start),
  low: played(low),
  high: played(high),
});

const played = (level: number): Bpm => Math.round(withinTempos(Math.exp(level)));
