// What the level model leads one to expect: the tempo some practice days on, and when a tempo may be reached.
import type { Bpm, Share } from '../base/units.ts';
import { type Belief, MOVES } from './level.ts';

/** A value known with an interval of {@link AHEAD_LEVEL}. */
export interface Span {
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

/** Share of cases that a span is meant to hold. */
const AHEAD_LEVEL: Share = 0.8;

/** One future the passes allow. Octaves, and octaves a practice day. */
interface Future {
  readonly level: number;
  readonly gain: number;
  readonly left: Share;
  readonly weight: number;
}

/** Standard normal quantiles at (2k + 1) / 22: eleven equally likely places. */
const EVEN_NORMALS = [-1.691, -1.097, -0.748, -0.473, -0.23, 0, 0.23, 0.473, 0.748, 1.097, 1.691];

/**
 * Futures that stand for all beliefs: those of one way to move are taken together first. None where all that fits
 * is a gain that never fades: nobody knows from it when it will.
 */
export function futuresOf(beliefs: readonly Belief[]): Future[] {
  return MOVES.flatMap(({ prior, ahead, left }, move) => {
    const those = beliefs.filter((belief) => belief.move === move);
    const total = those.reduce((sum, { weight }) => sum + weight, 0);
    const weight = (total * ahead) / prior;
    return weight < 1e-4 ? [] : spread(together(those, total), left, weight);
  });
}

interface Moments {
  readonly level: number;
  readonly gain: number;
  readonly varLevel: number;
  readonly varGain: number;
  readonly cov: number;
}

/** Mean and covariance of a mixture. */
function together(beliefs: readonly Belief[], total: number): Moments {
  const mean = (of: (belief: Belief) => number): number =>
    beliefs.reduce((sum, belief) => sum + belief.weight * of(belief), 0) / total;
  const level = mean((b) => b.level);
  const gain = mean((b) => b.gain);
  return {
    level,
    gain,
    varLevel: mean((b) => b.varLevel + (b.level - level) ** 2),
    varGain: mean((b) => b.varGain + (b.gain - gain) ** 2),
    cov: mean((b) => b.cov + (b.level - level) * (b.gain - gain)),
  };
}

function spread({ level, gain, varLevel, varGain, cov }: Moments, left: Share, weight: number) {
  const sd = Math.sqrt(varLevel);
  const along = cov / sd;
  const across = Math.sqrt(Math.max(varGain - along * along, 0));
  return EVEN_NORMALS.flatMap((u) =>
    EVEN_NORMALS.map((v): Future => ({
      level: level + sd * u,
      gain: gain + along * u + across * v,
      left,
      weight,
    })),
  );
}

/** Tempo after `days` more practice days; undefined without futures. */
export function tempoAhead(futures: readonly Future[], days: number): Span | undefined {
  if (futures.length === 0) return undefined;
  const sorted = sortedBy(
    futures,
    ({ level, gain, left }) => level + (gain * (1 - left ** days)) / (1 - left),
  );
  const outside = (1 - AHEAD_LEVEL) / 2;
  return {
    low: 2 ** sorted(outside),
    middle: 2 ** sorted(0.5),
    high: 2 ** sorted(1 - outside),
  };
}

/** Quantiles of the practice days until a tempo is reached: 0 if it is now, Infinity if never or without futures. */
export function daysUntil(futures: readonly Future[], bpm: Bpm): (share: Share) => number {
  if (futures.length === 0) return () => Infinity;
  const wanted = Math.log2(bpm);
  return sortedBy(futures, ({ level, gain, left }) => {
    const need = wanted - level;
    if (need <= 0) return 0;
    const ceiling = gain / (1 - left);
    if (ceiling <= need) return Infinity;
    return Math.log(1 - need / ceiling) / Math.log(left);
  });
}

/** @param futures at least one */
function sortedBy(
  futures: readonly Future[],
  of: (future: Future) => number,
): (share: Share) => number {
  const values = futures
    .map((future) => ({ value: of(future), weight: future.weight }))
    .sort((a, b) => (a.value === b.value ? 0 : a.value - b.value));
  const total = values.reduce((sum, { weight }) => sum + weight, 0);
  return (share) => {
    let sum = 0;
    for (const { value, weight } of values) {
      sum += weight;
      if (sum >= share * total) return value;
    }
    return values.at(-1)!.value;
  };
}
