// Seeded randomness for the test set: the same seed gives the same take on every machine.
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { skipN } from 'pure-rand/utils/skipN';

export interface Dice {
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** Normal, by Box and Muller (1958). */
  normal(mean: number, sd: number): number;
  chance(share: number): boolean;
  pick<T>(from: readonly T[]): T;
  /** Weights need not add up to 1. */
  weighted<T>(from: readonly (readonly [T, number])[]): T;
}

export function dice(seed: number): Dice {
  const generator = xoroshiro128plus(seed);
  // Neighbouring seeds begin with nearly equal numbers; after a few they have nothing in common.
  skipN(generator, 64);
  const unit = () => uniformFloat64(generator);
  const between = (low: number, high: number) => low + (high - low) * unit();
  return {
    between,
    normal: (mean, sd) =>
      mean + sd * Math.sqrt(-2 * Math.log(1 - unit())) * Math.cos(2 * Math.PI * unit()),
    chance: (share) => unit() < share,
    pick: (from) => from[Math.floor(unit() * from.length)]!,
    weighted: (from) => {
      let left = unit() * from.reduce((sum, [, weight]) => sum + weight, 0);
      return (from.find(([, weight]) => (left -= weight) < 0) ?? from.at(-1)!)[0];
    },
  };
}
