// One practice day as a normal observation of the player's level (for the model: level.ts).
import type { Share } from '../base/units.ts';

/** Passes of one practice day at one tempo. Counts are whole passes. */
export interface Outcomes {
  /** log₂ bpm. */
  readonly x: number;
  /** Where they stand in the day's practice: passes before them over 20, at most 1.5. */
  readonly into: number;
  readonly yes: number;
  readonly no: number;
}

/** How one player plays: the curve from tempo to chance. */
interface Curve {
  readonly steepness: number;
  readonly lapses: Share;
  readonly tired: number;
  /** Logit at u itself. */
  readonly c: number;
  readonly logs: Logs;
}

/** ln P(clean) and ln P(missed) by logit, from −{@link LOGITS} to {@link LOGITS} in steps of 1 / {@link PER_LOGIT}. */
interface Logs {
  readonly yes: Float64Array;
  readonly no: Float64Array;
}

const LOGITS = 30;
const PER_LOGIT = 16;
const tables = new Map<Share, Logs>();

/** A day is summed up thousands of times a unit: a table is several times quicker than two logarithms. */
export function logsFor(lapses: Share): Logs {
  const known = tables.get(lapses);
  if (known) return known;
  const clean = Float64Array.from({ length: 2 * LOGITS * PER_LOGIT + 2 }, (_, i) => {
    const p = (1 - lapses) / (1 + Math.exp(LOGITS - i / PER_LOGIT));
    return Math.min(1 - 1e-9, Math.max(1e-9, p));
  });
  const made = { yes: clean.map(Math.log), no: clean.map((p) => Math.log(1 - p)) };
  tables.set(lapses, made);
  return made;
}

/** Where the posterior of one day is summed up: in its own standard deviations around its mode. */
const FIRST_NODE = -3;
const LAST_NODE = 4;
/** Flattest observation that is still one, so that no day divides by nothing. */
const LEAST_PRECISION = 1e-4;

/** The normal observation of u with which N(x, v) becomes the posterior's mean and variance; log of P(outcomes). */
export function siteOf(groups: readonly Outcomes[], curve: Curve, x: number, v: number) {
  const { steepness, tired, c, logs } = curve;
  const logits: number[] = [];
  for (const group of groups) logits.push(c - steepness * (group.x + tired * group.into));
  const { u, width } = modeOf(groups, logits, curve, x, v);
  // The mode is about the largest value there is, so that nothing overflows.
  const most = logChance(groups, logits, logs, steepness * u) - (u - x) ** 2 / (2 * v);
  let total = 1;
  let first = 0;
  let second = 0;
  for (let z = FIRST_NODE; z <= LAST_NODE; z++) {
    if (z === 0) continue;
    const at = u + z * width;
    const log = logChance(groups, logits, logs, steepness * at) - (at - x) ** 2 / (2 * v);
    const weight = Math.exp(log - most);
    total += weight;
    first += weight * z;
    second += weight * z * z;
  }
  const mean = first / total;
  const variance = Math.max(1e-3, second / total - mean * mean) * width * width;
  const m = u + mean * width;
  const h = Math.max(LEAST_PRECISION, 1 / variance - 1 / v);
  const log = most + Math.log(total * width) - 0.5 * Math.log(2 * Math.PI * v);
  return { h, hy: h * m + (m - x) / v, log };
}

/** Newton steps to the mode, and octaves that one may go: far away the curve says little about it. */
const STEPS = 5;
const FAR = 0.25;
const NEAR = 0.01;

/** @param logits of each group where u is 0. */
function modeOf(
  groups: readonly Outcomes[],
  logits: readonly number[],
  { steepness, lapses }: Curve,
  x: number,
  v: number,
) {
  let u = x;
  let precision = 1 / v;
  for (let i = 0; i < STEPS; i++) {
    let slope = 0;
    let bend = 0;
    for (let i = 0; i < groups.length; i++) {
      const { yes, no } = groups[i]!;
      const s = 1 / (1 + Math.exp(-(steepness * u + logits[i]!)));
      const p = Math.min(1 - 1e-9, Math.max(1e-9, (1 - lapses) * s));
      const perLogit = (steepness * (1 - s)) / (1 - p);
      slope += (yes - (yes + no) * p) * perLogit;
      // The expected curvature (Fisher's information), never negative.
      bend += (yes + no) * p * (1 - p) * perLogit * perLogit;
    }
    precision = 1 / v + bend;
    const step = (slope - (u - x) / v) / precision;
    u += Math.min(FAR, Math.max(-FAR, step));
    if (Math.abs(step) < NEAR) break;
  }
  return { u, width: 1 / Math.sqrt(precision) };
}

/** ln P(outcomes | u), from the table. @param more Added to every logit: steepness × u. */
function logChance(
  groups: readonly Outcomes[],
  logits: readonly number[],
  logs: Logs,
  more: number,
): number {
  let sum = 0;
  for (let g = 0; g < groups.length; g++) {
    const { yes, no } = groups[g]!;
    const logit = logits[g]! + more;
    const place = (Math.min(LOGITS, Math.max(-LOGITS, logit)) + LOGITS) * PER_LOGIT;
    const i = Math.floor(place);
    const part = place - i;
    if (yes > 0) sum += yes * (logs.yes[i]! + part * (logs.yes[i + 1]! - logs.yes[i]!));
    if (no > 0) sum += no * (logs.no[i]! + part * (logs.no[i + 1]! - logs.no[i]!));
  }
  return sum;
}
