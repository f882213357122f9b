// Where the search for a start tempo ends, beside the tempo of four clean passes in five.
import { beginFinder, judgeFinder } from '../../../app/core/ladder/tempo-finder.ts';
import { between, chanceOfClean, dice, octaves } from './players.ts';

export interface FinderResult {
  readonly name: string;
  readonly searches: number;
  /** Start over the 80 % tempo: tenth, middle and ninetieth of a hundred. */
  readonly low: number;
  readonly middle: number;
  readonly high: number;
  readonly mostPasses: number;
  readonly meanPasses: number;
}

export const FINDER_ROWS = [0, 0.05, 0.1].flatMap((lapses) =>
  [6, 12, 20, 30].map((steepness) => ({ lapses, steepness })),
);

/** Searches that begin at 55–95 % of the level. */
export function runFinderRow(
  player: { readonly lapses: number; readonly steepness: number },
  searches: number,
  seed: number,
): FinderResult {
  const roll = dice(seed);
  const ends = Array.from({ length: searches }, () => {
    const level = between(roll, 50, 150);
    let state = beginFinder(Math.max(20, Math.round(level * between(roll, 0.55, 0.95))));
    while (!state.found) {
      const clean = roll() < chanceOfClean(player, octaves(level), state.bpm);
      state = judgeFinder(state, clean ? 'clean' : 'missed');
    }
    return { ratio: state.found.start / level, passes: state.passes.length };
  });
  const ratios = ends.map(({ ratio }) => ratio).sort((a, b) => a - b);
  const at = (share: number): number => ratios[Math.floor(share * (searches - 1))]!;
  return {
    name: `lapses ${Math.round(100 * player.lapses)} %, steepness ${player.steepness}`,
    searches,
    low: at(0.1),
    middle: at(0.5),
    high: at(0.9),
    mostPasses: Math.max(...ends.map(({ passes }) => passes)),
    meanPasses: ends.reduce((sum, { passes }) => sum + passes, 0) / searches,
  };
}
