// Owned tempo: where the log says a pass is clean four times in five, with what is not known about it.
//
// P(clean | tempo) is logistic in log₂ tempo, so that steps are percentages and beat units do not matter.
// Each pass counts with a weight that halves with age; a likelihood discounted so is the power prior of
// Ibrahim & Chen 2000 (Statistical Science 15). Weak normal priors keep all-clean and all-missed logs
// finite (Gelman et al. 2008, Annals of Applied Statistics 2); the interval is the posterior's, summed
// over a grid (Bayesian psychometric functions: Kuss, Jäkel & Wichmann 2005, Journal of Vision 5).
import type { BeatUnit, Bpm, IsoDate, Share } from '../base/units.ts';
import { dayNumber, localDate } from '../log/days.ts';
import { fitLogistic, logit, logPosterior, type Group, type Prior } from './logistic.ts';
import { tempoIn } from '../log/per-unit.ts';
import type { PassRecord, VerdictSource } from '../model/pass.ts';

/** Clean four times in five. */
export const OWNED_SHARE: Share = 0.8;
/** Of the interval that is shown with an owned tempo. */
export const CREDIBLE_LEVEL: Share = 0.9;
/** Days after which a pass counts half. Our choice, no source. */
export const HALF_LIFE_DAYS = 7;
/**
 * A pass also counts half once this many came after it, so that who plays much is not held to last
 * week. Our choice: in the coverage simulation 60 lags behind a player who gains 1 % a day, 30 is noisier.
 */
export const HALF_LIFE_PASSES = 40;
/** Cold passes come one a day at most, so they must be remembered longer. Our choice, no source. */
export const COLD_HALF_LIFE_DAYS = 28;

/** Fewer weighted passes than this give no figure at all; a number needs twice as many. Our choice. */
const LEAST_WEIGHT = 4;
/** A number is shown only when its interval is narrower than this ratio of fast end to slow end. */
const WIDEST_RATIO = 1.3;
/** Passes weighing less than 0.1 % are left out. */
const FORGOTTEN_HALF_LIVES = 10;
/** Older passes have no say in an owned tempo. */
export const REMEMBERED_DAYS = FORGOTTEN_HALF_LIVES * HALF_LIFE_DAYS;

/**
 * b0: logit of clean at the middle of the tempos tried; ±2 spreads reach from 1 to 99 %.
 * b1: logits per octave of tempo; −15 is a fall from 80 to 20 % over 14 % of tempo. Our choice, no
 * source; the unit test shows that doubling or halving it moves a well-supported figure little.
 */
const WEAK_PRIOR: Prior = { b0: { mean: 0, spread: 2.5 }, b1: { mean: -15, spread: 10 } };

/** What the figure rests on. */
export interface Evidence {
  /** Judged passes that counted, and what they weigh together after ageing. */
  readonly passes: number;
  readonly weight: number;
  readonly judgedBy: Readonly<Record<VerdictSource, number>>;
  readonly lastPlayed?: IsoDate;
}

export type OwnedTempo =
  /** The data support a number; the interval holds it with {@link CREDIBLE_LEVEL}. */
  | {
      readonly kind: 'number';
      readonly bpm: Bpm;
      readonly low: Bpm;
      readonly high: Bpm;
      readonly evidence: Evidence;
    }
  /** 95 % sure to own this tempo; how much more was not tried enough to say. */
  | { readonly kind: 'at-least'; readonly bpm: Bpm; readonly evidence: Evidence }
  /** 95 % sure not to own this tempo, the slowest tried. */
  | { readonly kind: 'below'; readonly bpm: Bpm; readonly evidence: Evidence }
  | { readonly kind: 'not-enough'; readonly evidence: Evidence };

/**
 * From every judged pass but the cold ones, as known at the end of `asOf`.
 * @param passes of one unit, settled, in time order. @param beat the note value the answer counts.
 */
export function ownedTempo(
  passes: readonly PassRecord[],
  beat: BeatUnit,
  asOf: IsoDate,
): OwnedTempo {
  return estimate(gather(passes, beat, asOf, HALF_LIFE_DAYS, (pass) => !pass.cold));
}

/** The same from cold first passes of a day alone: what was still there the next day. */
export function nextDayTempo(
  passes: readonly PassRecord[],
  beat: BeatUnit,
  asOf: IsoDate,
): OwnedTempo {
  return estimate(gather(passes, beat, asOf, COLD_HALF_LIFE_DAYS, (pass) => pass.cold));
}

/** From the passes of one day alone, cold one left out, none aged: a point of the learning curve. */
export function tempoOfDay(
  passes: readonly PassRecord[],
  beat: BeatUnit,
): { posterior?: TempoPosterior; tried: { slowest: Bpm; fastest: Bpm } } {
  const date = passes.length > 0 ? localDate(passes.at(-1)!.at) : '1970-01-01';
  const { groups, evidence } = gather(passes, beat, date, Infinity, (pass) => !pass.cold);
  const tried = triedTempos(groups);
  return evidence.weight >= LEAST_WEIGHT
    ? { posterior: posteriorOf(groups, WEAK_PRIOR, COARSE_POINTS), tried }
    : { tried };
}

interface Gathered {
  /** x is log₂ bpm. */
  readonly groups: readonly Group[];
  readonly evidence: Evidence;
}

/** Judged passes of the unit as it is now (its latest fingerprint), grouped by tempo, weighted by age. */
function gather(
  passes: readonly PassRecord[],
  beat: BeatUnit,
  asOf: IsoDate,
  halfLife: number,
  wanted: (pass: PassRecord) => boolean,
): Gathered {
  const byTempo = new Map<Bpm, { yes: number; no: number }>();
  const judgedBy = { self: 0, ear: 0, pedal: 0, teacher: 0 };
  let counted = 0;
  let weight = 0;
  let lastPlayed: IsoDate | undefined;
  for (const { pass, date, age } of remembered(passes, asOf, halfLife)) {
    if (!wanted(pass)) continue;
    const share = halfLife === Infinity ? 1 : 2 ** (-age / halfLife - counted / HALF_LIFE_PASSES);
    addTo(byTempo, tempoIn(pass, beat), pass.verdict === 'clean', share);
    judgedBy[pass.source]++;
    counted++;
    weight += share;
    lastPlayed ??= date;
  }
  const groups = fewGroups([...byTempo].map(([bpm, counts]) => ({ x: Math.log2(bpm), ...counts })));
  const evidence = { passes: counted, weight, judgedBy, ...(lastPlayed ? { lastPlayed } : {}) };
  return { groups, evidence };
}

/** Judged passes of the latest bars up to a day, newest first, as far back as they have a say; age in days. */
function* remembered(
  passes: readonly PassRecord[],
  asOf: IsoDate,
  halfLife: number,
): Generator<{ pass: PassRecord; date: IsoDate; age: number }> {
  const today = dayNumber(asOf);
  const fingerprint = passes.at(-1)?.unit.fingerprint;
  let date = '';
  let age = 0;
  for (let i = passes.length - 1; i >= 0; i--) {
    const pass = passes[i]!;
    const ofPass = localDate(pass.at);
    // Neighbours share their day: its number is worked out once.
    if (ofPass !== date) {
      date = ofPass;
      age = today - dayNumber(date);
    }
    if (age > FORGOTTEN_HALF_LIVES * halfLife) return;
    if (age < 0 || pass.verdict === 'unjudged' || pass.underrun) continue;
    if (pass.unit.fingerprint === fingerprint) yield { pass, date, age };
  }
}

/** More tempos than this are gathered in steps of ½ %, so that no log is slow to fit. */
const MOST_GROUPS = 80;
const STEPS_PER_OCTAVE = 140;

function fewGroups(groups: readonly Group[]): readonly Group[] {
  if (groups.length <= MOST_GROUPS) return groups;
  const bins = Map.groupBy(groups, ({ x }) => Math.round(x * STEPS_PER_OCTAVE));
  return [...bins].map(([bin, those]) => ({
    x: bin / STEPS_PER_OCTAVE,
    yes: those.reduce((sum, { yes }) => sum + yes, 0),
    no: those.reduce((sum, { no }) => sum + no, 0),
  }));
}

function addTo(
  byTempo: Map<Bpm, { yes: number; no: number }>,
  bpm: Bpm,
  clean: boolean,
  share: number,
): void {
  const group = byTempo.get(bpm) ?? { yes: 0, no: 0 };
  if (clean) group.yes += share;
  else group.no += share;
  byTempo.set(bpm, group);
}

function estimate({ groups, evidence }: Gathered): OwnedTempo {
  if (evidence.weight < LEAST_WEIGHT) return { kind: 'not-enough', evidence };
  const { low, middle, high } = posteriorOf(groups);
  const { slowest, fastest } = triedTempos(groups);
  const inside = middle >= slowest && middle <= fastest;
  if (inside && high / low <= WIDEST_RATIO && evidence.weight >= 2 * LEAST_WEIGHT) {
    return { kind: 'number', bpm: middle, low, high, evidence };
  }
  if (high < slowest) return { kind: 'below', bpm: slowest, evidence };
  if (low >= slowest) return { kind: 'at-least', bpm: Math.min(low, fastest), evidence };
  return { kind: 'not-enough', evidence };
}

function triedTempos(groups: readonly Group[]): { slowest: Bpm; fastest: Bpm } {
  const tried = groups.map((group) => 2 ** group.x);
  return { slowest: Math.min(...tried), fastest: Math.max(...tried) };
}

/** Median and ends of the {@link CREDIBLE_LEVEL} interval of the owned tempo. */
export interface TempoPosterior {
  readonly low: Bpm;
  readonly middle: Bpm;
  readonly high: Bpm;
}

/** Grid reach in standard deviations of the mode's normal approximation, and points along each side. */
const REACH = 4.5;
const POINTS = 21;
/** Enough for the middle and spread of one day among many; five times as quick. */
const COARSE_POINTS = 9;
/** Logits per octave: slopes flatter than this (or rising) say nothing about a crossing. */
const FLATTEST = -0.5;

/** @param groups x is log₂ bpm; at least one group with a positive count. */
export function posteriorOf(
  groups: readonly Group[],
  prior: Prior = WEAK_PRIOR,
  points = POINTS,
): TempoPosterior {
  const xs = groups.map((group) => group.x);
  const centre = (Math.min(...xs) + Math.max(...xs)) / 2;
  const centred = groups.map((group) => ({ ...group, x: group.x - centre }));
  const draws = crossings(centred, prior, points);
  const total = draws.reduce((sum, draw) => sum + draw.weight, 0);
  const tail = (1 - CREDIBLE_LEVEL) / 2;
  const at = (share: Share): Bpm => 2 ** (centre + weightedQuantile(draws, share * total));
  return { low: at(tail), middle: at(0.5), high: at(1 - tail) };
}

interface Crossing {
  /** log₂ of the tempo over the centre. */
  readonly x: number;
  readonly weight: number;
}

/** Where P(clean) crosses 80 % for each (b0, b1) of a grid around the mode, with its posterior weight; sorted. */
function crossings(groups: readonly Group[], prior: Prior, points: number): Crossing[] {
  const fit = fitLogistic(groups, prior);
  if (!fit.ok) throw new Error(`a fit with a prior always exists: ${fit.problems[0]!.message}`);
  const { b0, b1, se0, se1, cov, logLikelihood } = fit.value;
  const along = cov / se1;
  const across = Math.sqrt(Math.max(se0 * se0 - along * along, 0));
  const wanted = logit(OWNED_SHARE);
  const found: Crossing[] = [];
  for (let i = 0; i < points; i++) {
    const u = REACH * ((2 * i) / (points - 1) - 1);
    const slope = b1 + se1 * u;
    if (slope > FLATTEST) break;
    for (let j = 0; j < points; j++) {
      const v = REACH * ((2 * j) / (points - 1) - 1);
      const level = b0 + along * u + across * v;
      const weight = Math.exp(logPosterior(groups, level, slope, prior) - logLikelihood);
      if (weight > 1e-9) found.push({ x: (wanted - level) / slope, weight });
    }
  }
  return found.sort((a, b) => a.x - b.x);
}

function weightedQuantile(sorted: readonly Crossing[], upTo: number): number {
  let sum = 0;
  for (const [i, { x, weight }] of sorted.entries()) {
    if (sum + weight >= upTo) {
      const before = i > 0 ? sorted[i - 1]!.x : x;
      return before + ((x - before) * (upTo - sum)) / weight;
    }
    sum += weight;
  }
  return sorted.at(-1)?.x ?? 0;
}
