// The bar to hold on to: in which bars the band falls silent, and which bars are played slower than the rest.
import type { Seconds, Share } from '../base/units.ts';
import type { Unit } from '../model/unit.ts';
import { fingerprint } from '../units/bars/fingerprint.ts';
import { lastAtOrBefore } from '../timeline/search.ts';
import type { Lap, LapBar } from '../timeline/model.ts';

/** So many bars with the band, so many without, over and over; or the band is silent in these bars of the unit (from 0). */
export type HoldOn =
  | { readonly kind: 'turns'; readonly with: number; readonly without: number }
  | { readonly kind: 'bars'; readonly silent: readonly number[] };

/** Is the band heard in bar `index` of the unit, which follows `pickups` pickup bars? */
function isHeard(holdOn: HoldOn | undefined, index: number, pickups: number): boolean {
  if (!holdOn) return true;
  if (holdOn.kind === 'bars') return !holdOn.silent.includes(index);
  const turn = holdOn.with + holdOn.without;
  return Math.max(0, index - pickups) % turn < holdOn.with;
}

/** For a moment of the lap: until when the band is heard from there on, undefined where it is silent. */
export function heardBars(
  lap: Lap,
  holdOn: HoldOn | undefined,
): (seconds: Seconds) => Seconds | undefined {
  const pickup = (bar: LapBar) => bar.unitBar === 0 && bar.firstBeat !== 1;
  const pickups = lap.bars.some(pickup) ? 1 : 0;
  const heard = lap.bars.map(
    ({ unitBar }) => unitBar !== undefined && isHeard(holdOn, unitBar, pickups),
  );
  return (seconds) => {
    const at = Math.max(
      0,
      lastAtOrBefore(lap.bars, (bar) => bar.seconds - seconds - 1e-9),
    );
    if (!heard[at]) return undefined;
    const silent = heard.indexOf(false, at);
    return silent < 0 ? lap.end : lap.bars[silent]!.seconds;
  };
}

/**
 * The unit with some of its bars (from 0) at a share of their tempo: the hard bars slowly, the rest in tempo.
 * @throws RangeError for a share that is not above 0 and at most 1.
 */
export function slowBars(unit: Unit, slow: readonly number[], share: Share): Unit {
  if (!(share > 0 && share <= 1))
    throw new RangeError(`slowBars: a share of ${share}; 0–1 is meant`);
  const bars = unit.bars.map((bar, i) =>
    slow.includes(i) ? { ...bar, tempo: { ...bar.tempo, bpm: bar.tempo.bpm * share } } : bar,
  );
  return { ...unit, bars, fingerprint: fingerprint(bars, unit.lead) };
}
