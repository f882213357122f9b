// Where the database's first position stands among all voicings of its chord, under given weights.
import { type Amounts, FINGERING, FRETS, weighed } from '../../../app/core/fretboard/amounts.ts';
import { grips, isAlike } from '../../../app/core/fretboard/grips.ts';
import type { Example, PrintedFingering, Voicing } from './examples.ts';

/** Both tables of weights in one row, fingering first. */
export type Weights = Float64Array;
export const NAMES = [...FINGERING.names, ...FRETS.names];
const SPLIT = FINGERING.names.length;

/** One way to hold something, weighed. */
interface Weighed {
  readonly way: Amounts;
  readonly ease: number;
}

/** A voicing held in its easiest way. */
export interface Held extends Weighed {
  readonly voicing: Voicing;
}

export function heldBy({ voicings }: Example, weights: Weights): Held[] {
  const fingering = weights.subarray(0, SPLIT);
  const frets = weights.subarray(SPLIT);
  return voicings.map((voicing) => {
    let way = voicing.ways[0]!;
    let least = Infinity;
    for (const other of voicing.ways) {
      const cost = weighed(other, fingering);
      if (cost < least) [way, least] = [other, cost];
    }
    return { voicing, way, ease: least + weighed(voicing.amounts, frets) };
  });
}

/** The best three are counted everywhere. */
const BEST = 3;

/** Adds to a slope what one unit of each weight makes `held` harder by, times `share`. */
export function addAmounts(held: Held | Weighed, share: number, slope: Float64Array): void {
  for (let i = 0; i < SPLIT; i++) slope[i]! += share * held.way[i]!;
  if (!('voicing' in held)) return;
  const { amounts } = held.voicing;
  for (let i = 0; i < amounts.length; i++) slope[SPLIT + i]! += share * amounts[i]!;
}

/** One of two things that should be easier than its rival; absent when it has none. */
export interface Contest {
  readonly wanted: Held | Weighed;
  readonly rival: Held | Weighed;
}

/** The database's grip against the third grip beside it. */
export function gripContest(all: readonly Held[]): Contest | undefined {
  const wanted = easiest(all, ({ voicing }) => voicing.onBass && voicing.like)!;
  const chosen: Held[] = [];
  for (let i = 0; i < BEST; i++) {
    const next = easiest(
      all,
      ({ voicing }) =>
        voicing.onBass &&
        !voicing.like &&
        !chosen.some((held) => isAlike(held.voicing.frets, voicing.frets)),
    );
    if (!next) return undefined;
    chosen.push(next);
  }
  return { wanted, rival: chosen.at(-1)! };
}

/** The database's position itself, less a fifth below the root, against the easiest other one of its grip. */
export function leadContest(all: readonly Held[], lead: number): Contest | undefined {
  const wanted = all[lead]!;
  const rival = easiest(all, (held) => held !== wanted && held.voicing.onBass && held.voicing.like);
  return rival && { wanted, rival };
}

/** The same against the easiest other one of all. */
export function firstContest(all: readonly Held[], lead: number): Contest | undefined {
  const wanted = all[lead]!;
  const rival = easiest(all, (held) => held !== wanted && held.voicing.onBass);
  return rival && { wanted, rival };
}

/** The printed fingering against the easiest other one. */
export function fingeringContest(
  { ways, printed }: PrintedFingering,
  weights: Weights,
): Contest | undefined {
  const fingering = weights.subarray(0, SPLIT);
  const held = ways.map((way) => ({ way, ease: weighed(way, fingering) }));
  const wanted = held[printed]!;
  const rival = easiest(held, (other) => other !== wanted);
  return rival && { wanted, rival };
}

/** Asks only those that would be easier than the best so far. */
function easiest<T extends Weighed>(all: readonly T[], may: (held: T) => boolean): T | undefined {
  let best: T | undefined;
  for (const held of all) if ((!best || held.ease < best.ease) && may(held)) best = held;
  return best;
}

/** Is the database's first position among our best three: as one of them, or as one or a variant of one? */
export function standingOf(all: readonly Held[], first: number) {
  const sorted = all
    .map(({ voicing, ease }) => ({ frets: voicing.frets, ease, onBass: voicing.onBass }))
    .sort((a, b) => a.ease - b.ease);
  const key = all[first]!.voicing.frets.join();
  const best = grips(
    sorted.filter((shape) => shape.onBass),
    sorted.filter((shape) => !shape.onBass),
    BEST,
  );
  const itself = best.some((shape) => shape.frets.join() === key);
  return { itself, listed: itself || best.some((s) => s.also.some((f) => f.join() === key)) };
}
