// Onset precision, recall and F as mir_eval.onset defines them (Raffel et al., ISMIR 2014).
import type { Seconds, Share } from '../../../app/core/base/units.ts';

export interface OnsetScore {
  readonly matched: number;
  readonly truths: number;
  readonly found: number;
  /** Found less true, of every matched pair. */
  readonly errors: readonly Seconds[];
}

/**
 * A found onset is right if it lies within `window` of a true one, each used once; the matching is the largest there is.
 * On a line with one window, taking pairs greedily from the left is such a matching. Both lists by time.
 */
export function matchOnsets(
  truths: readonly Seconds[],
  found: readonly Seconds[],
  window: Seconds,
): OnsetScore {
  const errors: Seconds[] = [];
  let i = 0;
  let j = 0;
  while (i < truths.length && j < found.length) {
    const error = found[j]! - truths[i]!;
    if (Math.abs(error) <= window) {
      errors.push(error);
      i++;
      j++;
    } else if (error > 0) i++;
    else j++;
  }
  return { matched: errors.length, truths: truths.length, found: found.length, errors };
}

/** F = 2PR / (P + R) over several recordings together, each onset counting the same. */
export function fMeasure(scores: readonly OnsetScore[]): Share {
  const sum = (pick: (s: OnsetScore) => number) => scores.reduce((n, s) => n + pick(s), 0);
  const all = sum((s) => s.truths) + sum((s) => s.found);
  return all === 0 ? 0 : (2 * sum((s) => s.matched)) / all;
}
