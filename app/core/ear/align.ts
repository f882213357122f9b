// Which stroke that was heard is which stroke that was due: the cheapest pairing in order of time.
import type { Seconds } from '../base/units.ts';
import type { Onset } from './onsets.ts';

/** Index of the onset paired with each due stroke; null where none came. */
export type Pairing = readonly (number | null)[];

/** What 70 ms beside the due moment cost; a stroke left out and one too many cost 1.5 of that. */
const UNIT: Seconds = 0.07;
const LEFT_OUT = 1.5;
const TOO_MANY = 1.5;
/** A rise too small to count as a stroke may still be one where one is due, at this price. */
const FAINT = 0.4;

/** Both by time. Faint onsets (strength < 1) may be passed over at no cost. Dynamic programming, O(n·m). */
export function pairStrokes(due: readonly Seconds[], heard: readonly Onset[]): Pairing {
  const width = heard.length + 1;
  const cost = new Float64Array((due.length + 1) * width);
  const step = new Uint8Array(cost.length);
  for (let i = 0; i <= due.length; i++) {
    for (let j = 0; j <= heard.length; j++) {
      if (i + j === 0) continue;
      const [best, how] = cheapest(due, heard, i, j, cost, width);
      cost[i * width + j] = best;
      step[i * width + j] = how;
    }
  }
  return readBack(due.length, heard.length, step, width);
}

const SKIP_DUE = 1;
const SKIP_HEARD = 2;
const PAIR = 3;

function cheapest(
  due: readonly Seconds[],
  heard: readonly Onset[],
  i: number,
  j: number,
  cost: Float64Array,
  width: number,
): [number, number] {
  let best: [number, number] = [Infinity, 0];
  if (i > 0) best = [cost[(i - 1) * width + j]! + LEFT_OUT, SKIP_DUE];
  if (j === 0) return best;
  const faint = heard[j - 1]!.strength < 1;
  const passed = cost[i * width + j - 1]! + (faint ? 0 : TOO_MANY);
  if (passed < best[0]) best = [passed, SKIP_HEARD];
  if (i === 0) return best;
  const apart = Math.abs(due[i - 1]! - heard[j - 1]!.at) / UNIT + (faint ? FAINT : 0);
  const paired = cost[(i - 1) * width + j - 1]! + apart;
  return paired < best[0] ? [paired, PAIR] : best;
}

function readBack(i: number, j: number, step: Uint8Array, width: number): Pairing {
  const pairing: (number | null)[] = new Array<number | null>(i).fill(null);
  while (i + j > 0) {
    const how = step[i * width + j];
    if (how === PAIR) pairing[i - 1] = j - 1;
    if (how !== SKIP_HEARD) i--;
    if (how !== SKIP_DUE) j--;
  }
  return pairing;
}
