// Shares of a mixture of normal distributions: below which level it lies with which probability.
import type { Share } from '../base/units.ts';
import type { Belief } from './level.ts';

/** A level is found to a fiftieth of a per cent of tempo, in octaves. */
const NEAR_ENOUGH = Math.log2(1.01) / 50;

/** Level below which it lies with this probability. */
export function levelQuantile(beliefs: readonly Belief[], share: Share): number {
  const mean = beliefs.reduce((sum, { weight, level }) => sum + weight * level, 0);
  const second = beliefs.reduce(
    (sum, { weight, level, varLevel }) => sum + weight * (varLevel + (level - mean) ** 2),
    0,
  );
  const sd = Math.sqrt(second);
  let [low, high] = [mean - 8 * sd, mean + 8 * sd];
  let at = mean;
  // Newton's steps on the distribution function, kept within what is known to hold the quantile.
  for (let i = 0; i < 30 && high - low > NEAR_ENOUGH; i++) {
    const { below, density } = mixtureAt(beliefs, at);
    if (below < share) low = at;
    else high = at;
    const next = at + (share - below) / density;
    if (Math.abs(next - at) < NEAR_ENOUGH) return next;
    at = next > low && next < high ? next : (low + high) / 2;
  }
  return at;
}

function mixtureAt(beliefs: readonly Belief[], at: number): { below: Share; density: number } {
  let [below, density] = [0, 0];
  for (const { weight, level, varLevel } of beliefs) {
    const sd = Math.sqrt(varLevel);
    const z = (at - level) / sd;
    const bell = Math.exp(-0.5 * z * z) * 0.3989422804014327;
    below += weight * normalBelow(z, bell);
    density += (weight * bell) / sd;
  }
  return { below, density: Math.max(density, 1e-12) };
}

/** Φ(z) from the density at z, error below 7.5e-8 (Abramowitz & Stegun 1964, 26.2.17). */
function normalBelow(z: number, bell: number): Share {
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const series =
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return z > 0 ? 1 - bell * series : bell * series;
}
