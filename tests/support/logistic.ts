// Logistic regression of a yes/no outcome on one number: P(yes | x) = 1 / (1 + exp(−(b0 + b1·x))).
import { fail, ok, type Result } from '../../app/core/base/result.ts';

/** Outcomes seen at one x. Counts may be fractions (weighted by age). */
export interface Group {
  readonly x: number;
  readonly yes: number;
  readonly no: number;
}

/** Independent normal priors on the coefficients; spread is the standard deviation, in logits. */
export interface Prior {
  readonly b0: { readonly mean: number; readonly spread: number };
  readonly b1: { readonly mean: number; readonly spread: number };
}

export interface LogisticFit {
  readonly b0: number;
  readonly b1: number;
  /** Standard errors: from the inverse of the (penalised) observed information. */
  readonly se0: number;
  readonly se1: number;
  /** Covariance of b0 and b1. */
  readonly cov: number;
  /** Maximum of the log-likelihood, plus the log prior (without its constant) if one was given. */
  readonly logLikelihood: number;
}

/** ln(1 + exp(v)) without overflow. */
const softplus = (v: number): number =>
  v > 0 ? v + Math.log1p(Math.exp(-v)) : Math.log1p(Math.exp(v));

const sigmoid = (v: number): number => 1 / (1 + Math.exp(-v));

export const logit = (p: number): number => Math.log(p / (1 - p));

/** ln P(outcomes | b0, b1), plus the log prior without its constant. */
function logPosterior(groups: readonly Group[], b0: number, b1: number, prior?: Prior): number {
  let sum = 0;
  for (const { x, yes, no } of groups) {
    const v = b0 + b1 * x;
    sum += yes * v - (yes + no) * softplus(v);
  }
  if (!prior) return sum;
  const d0 = (b0 - prior.b0.mean) / prior.b0.spread;
  const d1 = (b1 - prior.b1.mean) / prior.b1.spread;
  return sum - (d0 * d0 + d1 * d1) / 2;
}

const MAX_STEPS = 100;

/**
 * Maximum likelihood, or the posterior mode with a prior, by Newton's method with step halving; both
 * functions are concave, so the maximum is the only one. With a prior it always exists.
 * Fails with 'separated' when, without a prior, one cut of x parts yes from no (or one x only).
 */
export function fitLogistic(groups: readonly Group[], prior?: Prior): Result<LogisticFit> {
  if (!prior && !overlaps(groups)) return separated();
  let b0 = prior?.b0.mean ?? 0;
  let b1 = prior?.b1.mean ?? 0;
  let value = logPosterior(groups, b0, b1, prior);
  for (let step = 0; step < MAX_STEPS; step++) {
    const { g0, g1, h00, h01, h11 } = slopes(groups, b0, b1, prior);
    const det = h00 * h11 - h01 * h01;
    if (!(det > 1e-12 * h00 * h11)) return separated();
    const d0 = (h11 * g0 - h01 * g1) / det;
    const d1 = (h00 * g1 - h01 * g0) / det;
    const { scale, value: next } = climb(groups, b0, b1, d0, d1, value, prior);
    b0 += scale * d0;
    b1 += scale * d1;
    if (next - value <= 1e-12 * (1 + Math.abs(next)) && Math.abs(g0 * d0 + g1 * d1) < 1e-10) {
      return finish(groups, b0, b1, next, prior);
    }
    value = next;
  }
  return separated();
}

const separated = (): Result<never> =>
  fail({
    code: 'separated',
    message: 'The outcomes have no finite maximum: one cut of x parts yes from no.',
    cure: 'Give a prior, or more outcomes on both sides.',
  });

/** A finite maximum exists only if the x of yes and of no overlap (Albert & Anderson 1984, Biometrika 71). */
function overlaps(groups: readonly Group[]): boolean {
  const yes = groups.filter((group) => group.yes > 0).map((group) => group.x);
  const no = groups.filter((group) => group.no > 0).map((group) => group.x);
  return Math.min(...yes) < Math.max(...no) && Math.min(...no) < Math.max(...yes);
}

/** Gradient and negative Hessian. */
function slopes(groups: readonly Group[], b0: number, b1: number, prior?: Prior) {
  let [g0, g1, h00, h01, h11] = [0, 0, 0, 0, 0];
  for (const { x, yes, no } of groups) {
    const p = sigmoid(b0 + b1 * x);
    const residual = yes - (yes + no) * p;
    const weight = (yes + no) * p * (1 - p);
    g0 += residual;
    g1 += residual * x;
    h00 += weight;
    h01 += weight * x;
    h11 += weight * x * x;
  }
  if (prior) {
    g0 -= (b0 - prior.b0.mean) / prior.b0.spread ** 2;
    g1 -= (b1 - prior.b1.mean) / prior.b1.spread ** 2;
    h00 += prior.b0.spread ** -2;
    h11 += prior.b1.spread ** -2;
  }
  return { g0, g1, h00, h01, h11 };
}

/** The largest of 1, 1/2, 1/4 … of the step that does not lower the value. */
function climb(
  groups: readonly Group[],
  b0: number,
  b1: number,
  d0: number,
  d1: number,
  from: number,
  prior?: Prior,
): { scale: number; value: number } {
  for (let scale = 1; scale > 1e-8; scale /= 2) {
    const value = logPosterior(groups, b0 + scale * d0, b1 + scale * d1, prior);
    if (value >= from) return { scale, value };
  }
  return { scale: 0, value: from };
}

function finish(
  groups: readonly Group[],
  b0: number,
  b1: number,
  logLikelihood: number,
  prior?: Prior,
): Result<LogisticFit> {
  const { h00, h01, h11 } = slopes(groups, b0, b1, prior);
  const det = h00 * h11 - h01 * h01;
  if (!(det > 1e-12 * h00 * h11)) return separated();
  return ok({
    b0,
    b1,
    se0: Math.sqrt(h11 / det),
    se1: Math.sqrt(h00 / det),
    cov: -h01 / det,
    logLikelihood,
  });
}
