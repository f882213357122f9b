// One model of a unit's level over its practice days: owned tempo, forecast and due dates are all read from it.
//
// Octaves (log₂ bpm) throughout. P(clean) at tempo y is (1 − λ) · logistic(k · (u − y) + c), with c such that
// it is 0.8 at y = u; λ are slips that have nothing to do with the tempo (a fit that ignores them is biased:
// Wichmann & Hill 2001, Perception & Psychophysics 63). On one practice day u = x + f: the day's form f is a
// random effect, so that the passes of one day are not taken for independent. The level x is a damped local
// linear trend (Gardner & McKenzie 1985, Management Science 31): x' = x + g + noise, g' = φ · g. In
// expectation that is a learner who nears a ceiling exponentially (Heathcote, Brown & Mewhort 2000,
// Psychonomic Bulletin & Review 7); near φ = 1 it is one who gains evenly, with g = 0 one who stands still.
// For each (k, λ, tiredness) of a grid every day's outcomes become one normal observation by its moments
// given the days before (assumed-density filtering: Maybeck 1982, Stochastic Models 2); then a Kalman filter
// gives level, gain and likelihood for every way the level may move, and all are mixed by how well they fit.
// The priors were chosen by simulation (tests/bench/honest): bands must hold as often as they say.
import type { Share } from '../base/units.ts';
import { logsFor, type Outcomes, siteOf } from './day-observation.ts';

export interface DayOutcomes {
  /** Calendar days since 1970. */
  readonly day: number;
  /** At least one. */
  readonly groups: readonly Outcomes[];
}

/** One setting of the model: level after the last day and gain are jointly normal under it. */
export interface Belief {
  /** Sums to 1 over all beliefs. */
  readonly weight: Share;
  /** Index into {@link MOVES}. */
  readonly move: number;
  readonly level: number;
  /** Expected on the next practice day. */
  readonly gain: number;
  readonly varLevel: number;
  readonly varGain: number;
  readonly cov: number;
}

/** What one day alone says of the player, by the setting that fits best. */
export interface DayLevel {
  readonly level: number;
  /** Standard deviation. */
  readonly spread: number;
}

export interface Reading {
  readonly beliefs: readonly Belief[];
  /** One for each day given. */
  readonly days: readonly DayLevel[];
}

/** A way the level may move. Gains are octaves a practice day; `left` is the share of a gain left a day later. */
export interface Move {
  readonly mean: number;
  readonly spread: number;
  readonly left: Share;
  /** Prior weight where the level now is asked for. */
  readonly prior: number;
  /** The same where the future is: a gain that never fades promises every target, so it has no say. */
  readonly ahead: number;
}

const fading = (tau: number, prior: number): Move => ({
  mean: 0.35 / tau,
  spread: 0.27 / tau,
  left: Math.exp(-1 / tau),
  prior,
  ahead: 1,
});

/** Standing still, gaining evenly, or nearing a ceiling 0.35 ± 0.27 octaves off in τ practice days. */
export const MOVES: readonly Move[] = [
  { mean: 0.0005, spread: 0.0015, left: 0.995, prior: 0.7, ahead: 1 },
  { mean: 0.016, spread: 0.018, left: 0.995, prior: 2, ahead: 0 },
  fading(6, 0.4),
  fading(10, 0.3),
  fading(16, 0.4),
  fading(27, 0.3),
  fading(45, 0.3),
  fading(80, 0.1),
];

const PERCENT = Math.log2(1.01);

interface Manner {
  readonly lapses: Share;
  /** Octaves lost by the 20th pass of a day. */
  readonly tired: number;
  readonly prior: number;
}

/** What the model tries: more takes longer and is only told apart by many passes. */
export interface Grid {
  /** Logits per octave, even in proportion: 5 falls off slowly, 35 hits a wall. */
  readonly steepness: readonly number[];
  readonly manners: readonly Manner[];
}

export const FINE: Grid = {
  steepness: [5, 6.6, 8.7, 11.5, 15.2, 20, 26.5, 35],
  manners: [
    { lapses: 0.01, tired: 0, prior: 0.315 },
    { lapses: 0.05, tired: 0, prior: 0.245 },
    { lapses: 0.1, tired: 0, prior: 0.14 },
    { lapses: 0.03, tired: 3 * PERCENT, prior: 0.3 },
  ],
};
/** For one pass a day: few passes tell no finer settings apart, and nobody is tired at the first. */
export const COARSE: Grid = {
  steepness: [6.6, 11.5, 20],
  manners: [{ lapses: 0.03, tired: 0, prior: 1 }],
};
/** Standard deviation of the day's form, % of tempo, with prior weights. */
const FORMS = [
  [0, 2],
  [1.5, 1.5],
  [3, 1],
  [4.5, 0.7],
  [6.5, 0.5],
] as const;
/** What the level does by itself: standard deviation per practice day, and per day without practice. */
const WALK = 0.4 * PERCENT;
const IDLE_WALK = 0.4 * PERCENT;
/** The same while it is left alone and nothing has been heard since: what a break costs is not known (no source). */
const LEFT_ALONE = 0.7 * PERCENT;
/** Before the first pass: within an octave or so of the first tempos. */
const FIRST_SPREAD = 0.6;

interface Setting {
  readonly formVar: number;
  readonly mean: number;
  readonly gainVar: number;
  readonly left: Share;
}

/** Every way to move with every form. */
const SETTINGS = FORMS.flatMap(([form, formPrior]) =>
  MOVES.map((move, index) => ({
    formVar: (form * PERCENT) ** 2,
    mean: move.mean,
    gainVar: move.spread ** 2,
    left: move.left,
    move: index,
    logPrior: Math.log(formPrior * move.prior),
  })),
);

/** The setting under which days are turned into observations. */
const MIDDLING: Setting = {
  formVar: (2.5 * PERCENT) ** 2,
  mean: 0.01,
  gainVar: 0.02 ** 2,
  left: Math.exp(-1 / 60),
};

/** Settings that fit worse than the best by more than this (natural logarithm) have no say. */
const NO_SAY = 5.5;
const NO_LOOK = 4;
/** Beliefs of less weight are left out: there are hundreds, and together they say next to nothing. */
const LEAST_WEIGHT = 3e-4;

/** @param outcomes of one unit by day, earliest first; at least one day. */
export function readLevel(outcomes: readonly DayOutcomes[], grid: Grid = FINE): Reading {
  const found: Candidate[] = [];
  let best = -Infinity;
  let days: readonly DayLevel[] = [];
  let bestFit = -Infinity;
  for (const { sites, fit, rest } of fits(outcomes, grid)) {
    if (fit > bestFit) {
      bestFit = fit;
      days = sites.h.map((h, d) => ({ level: sites.hy[d]! / h, spread: Math.sqrt(1 / h) }));
    }
    if (fit < bestFit - NO_LOOK) continue;
    for (const setting of SETTINGS) {
      const shared = rest + setting.logPrior;
      const seen = filter(sites, setting, best - NO_SAY - shared);
      if (!seen) continue;
      const log = shared + seen.log;
      best = Math.max(best, log);
      found.push({ log, move: setting.move, state: seen.state });
    }
  }
  return { beliefs: weigh(found, best), days };
}

/** A setting that may have a say, with its log-likelihood. */
interface Candidate {
  readonly log: number;
  readonly move: number;
  readonly state: State;
}

function weigh(found: readonly Candidate[], best: number): Belief[] {
  const all = found.reduce((sum, { log }) => sum + Math.exp(log - best), 0);
  const kept = found.filter(({ log }) => Math.exp(log - best) > LEAST_WEIGHT * all);
  const total = kept.reduce((sum, { log }) => sum + Math.exp(log - best), 0);
  return kept.map(({ log, move, state }) => ({
    weight: Math.exp(log - best) / total,
    move,
    level: state.x,
    gain: state.g,
    varLevel: state.pxx,
    varGain: state.pgg,
    cov: state.pxg,
  }));
}

/** Days as normal observations of u, in information form: precision, and precision × value. */
interface Sites {
  readonly centre: number;
  /** What days without practice add to the variance of the level. */
  readonly idleVar: readonly number[];
  readonly h: readonly number[];
  readonly hy: readonly number[];
}

interface Fit {
  readonly sites: Sites;
  /** Log-likelihood under {@link MIDDLING} with the prior; and the part of it that all settings share. */
  readonly fit: number;
  readonly rest: number;
}

/** The fits of all manners, each for the steepnesses around its best one. */
function* fits(outcomes: readonly DayOutcomes[], { steepness, manners }: Grid): Generator<Fit> {
  let start = Math.floor(steepness.length / 2);
  for (const manner of manners) {
    const at = (i: number): Fit => observe(outcomes, steepness[i]!, manner);
    const first = at(start);
    yield first;
    let best = first.fit;
    for (const way of [1, -1]) {
      for (let i = start + way; steepness[i] !== undefined; i += way) {
        const next = at(i);
        yield next;
        if (next.fit > best) {
          best = next.fit;
          if (way === 1) start = i;
        }
        if (next.fit < best - NO_LOOK) break;
      }
    }
  }
}

interface State {
  x: number;
  g: number;
  pxx: number;
  pxg: number;
  pgg: number;
}

const before = (centre: number, { mean, gainVar }: Setting): State => ({
  x: centre,
  g: mean,
  pxx: FIRST_SPREAD ** 2,
  pxg: 0,
  pgg: gainVar,
});

/** One practice day on. */
function advance(s: State, left: Share, idleVar: number): void {
  s.x += s.g;
  s.g *= left;
  s.pxx += 2 * s.pxg + s.pgg + WALK * WALK + idleVar;
  s.pxg = left * (s.pxg + s.pgg);
  s.pgg *= left * left;
}

/** Takes an observation in; returns h × innovation and h × its variance. */
function take(s: State, formVar: number, h: number, hy: number): { e: number; v: number } {
  const e = hy - h * s.x;
  const v = (s.pxx + formVar) * h + 1;
  const kx = s.pxx / v;
  const kg = s.pxg / v;
  s.x += kx * e;
  s.g += kg * e;
  s.pgg -= kg * h * s.pxg;
  s.pxg -= kx * h * s.pxg;
  s.pxx -= kx * h * s.pxx;
  return { e, v };
}

/**
 * The Kalman filter over all days. `log` leaves out what all settings share. No day can raise it, so that a
 * setting is given up as soon as it falls below `least`. One logarithm of a product is quicker than one a day.
 */
function filter(
  sites: Sites,
  setting: Setting,
  least: number,
): { state: State; log: number } | undefined {
  const state = before(sites.centre, setting);
  let [squares, variances] = [0, 1];
  for (let d = 0; d < sites.h.length; d++) {
    const h = sites.h[d]!;
    if (d > 0) advance(state, setting.left, sites.idleVar[d]!);
    const { e, v } = take(state, setting.formVar, h, sites.hy[d]!);
    squares += (e * e) / (h * v);
    variances *= v;
    if (-0.5 * squares < least) return undefined;
  }
  const log = -0.5 * (squares + Math.log(variances));
  return log < least ? undefined : { state, log };
}

function observe(
  outcomes: readonly DayOutcomes[],
  steepness: number,
  { lapses, tired, prior }: Manner,
): Fit {
  const p = 0.8 / (1 - lapses);
  const curve = { steepness, lapses, tired, c: Math.log(p / (1 - p)), logs: logsFor(lapses) };
  const centre = meanTempo(outcomes[0]!.groups);
  const idleVar = outcomes.map(({ day }, d) =>
    d === 0 ? 0 : Math.max(0, day - outcomes[d - 1]!.day - 1) * IDLE_WALK * IDLE_WALK,
  );
  const sites = { centre, idleVar, h: [] as number[], hy: [] as number[] };
  const state = before(centre, MIDDLING);
  let fit = Math.log(prior);
  let rest = fit;
  for (const [d, { groups }] of outcomes.entries()) {
    if (d > 0) advance(state, MIDDLING.left, idleVar[d]!);
    const site = siteOf(groups, curve, state.x, state.pxx + MIDDLING.formVar);
    sites.h.push(site.h);
    sites.hy.push(site.hy);
    const { e, v } = take(state, MIDDLING.formVar, site.h, site.hy);
    fit += site.log;
    rest += site.log + 0.5 * ((e * e) / (site.h * v) + Math.log(v));
  }
  return { sites, fit, rest };
}

function meanTempo(groups: readonly Outcomes[]): number {
  let [sum, n] = [0, 0];
  for (const { x, yes, no } of groups) {
    sum += x * (yes + no);
    n += yes + no;
  }
  return sum / n;
}

/** What is known after so many more days without practice: the middle stays, the doubt grows. */
export function leftAlone(reading: Reading, idleDays: number): Reading {
  if (idleDays <= 0) return reading;
  const { beliefs, days } = reading;
  const doubt = idleDays * LEFT_ALONE ** 2;
  return { beliefs: beliefs.map((b) => ({ ...b, varLevel: b.varLevel + doubt })), days };
}
