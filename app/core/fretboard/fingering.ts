// Which finger goes where: every way a hand can hold given frets, and what each costs.
import { Remembered } from '../base/remembered.ts';
import type { Frets } from '../model/chart.ts';
import type { Finger, Fret, Millimetres } from '../base/units.ts';
import { type Amounts, FINGERING, weighed } from './amounts.ts';
import { type Neck, fretDistance, stringOffset, tipTable } from './geometry.ts';
import { type Press, lowestFret } from './shape.ts';
import { type Stop, type StopPlan, MOST_FINGERS, patternKey, stopPlans } from './stops.ts';
import { FINGERING_EASE, REACH } from './weights.ts';

export interface Fingering {
  readonly presses: readonly Press[];
  /** In the order of `FINGERING`; see amounts.ts. */
  readonly amounts: Amounts;
  /** The amounts weighed and added up. */
  readonly cost: number;
}

const HAND: readonly Finger[] = [1, 2, 3, 4];

/** Sets of ascending fingers by size: [[]], [[1], [2] …], … [[1, 2, 3, 4]]. */
const SIZES = Array.from({ length: MOST_FINGERS + 1 }, (_, size) => size);
const FINGER_SETS: readonly (readonly (readonly Finger[])[])[] = SIZES.map((size) =>
  subsets(HAND).filter((set) => set.length === size),
);

function subsets(all: readonly Finger[]): Finger[][] {
  return all.reduce<Finger[][]>(
    (sets, finger) => [...sets, ...sets.map((s) => [...s, finger])],
    [[]],
  );
}

/** One finger for each stop of a plan. */
interface Way {
  readonly plan: StopPlan;
  readonly set: readonly Finger[];
  /** What it costs wherever on the neck: all but reaching and the stiffness near the nut. */
  readonly floor: number;
}

/** Ways depend only on the pattern, not on where it is played; there are a few thousand patterns. */
const known = new Remembered<number, readonly Way[]>(20_000);

/** Every way to put fingers on a pattern of frets, least floor first. */
function waysOf(frets: Frets): readonly Way[] {
  return known.of(patternKey(frets), () =>
    stopPlans(frets)
      .flatMap((plan) => FINGER_SETS[plan.length]!.map((set) => wayOf(plan, set)))
      .sort((a, b) => a.floor - b.floor),
  );
}

function wayOf(plan: StopPlan, set: readonly Finger[]): Way {
  scratch.fill(0);
  countAnywhere(plan, set, scratch);
  return { plan, set, floor: weighed(scratch, FINGERING.weights) };
}

/**
 * All fingerings a hand can hold that cost at most `extra` more than the easiest, easiest first; empty when
 * it can hold none. A higher finger never stands on a lower fret; within a fret, lower fingers usually take
 * lower-sounding strings (common practice, no source).
 */
export function fingeringsOf(frets: Frets, neck: Neck, extra = Infinity): readonly Fingering[] {
  const low = lowestFret(frets);
  const limit = easiestCost(frets, neck) + extra;
  return waysOf(frets)
    .filter((way) => {
      const cost = way.floor <= limit ? placedCost(way, low, neck) : Infinity;
      return cost < Infinity && cost <= limit;
    })
    .map((way) => fingeringOfWay(way, low, neck))
    .sort((a, b) => a.cost - b.cost);
}

/** The easiest one, or undefined when no hand can hold these frets. */
export function easiestFingering(frets: Frets, neck: Neck): Fingering | undefined {
  const { way } = easiestWay(frets, neck);
  return way && fingeringOfWay(way, lowestFret(frets), neck);
}

/** What it costs; Infinity when no hand can hold these frets. */
export const easiestCost = (frets: Frets, neck: Neck): number => easiestWay(frets, neck).cost;

/** No fingering of these frets costs less; Infinity when four fingers are too few. */
export const leastCost = (frets: Frets): number => waysOf(frets)[0]?.floor ?? Infinity;

function easiestWay(frets: Frets, neck: Neck): { readonly way?: Way; readonly cost: number } {
  const low = lowestFret(frets);
  let easiest: Way | undefined;
  let cost = Infinity;
  for (const way of waysOf(frets)) {
    if (way.floor >= cost) break;
    const placed = placedCost(way, low, neck);
    if (placed < cost) [easiest, cost] = [way, placed];
  }
  return easiest ? { way: easiest, cost } : { cost };
}

/**
 * What a given fingering costs, as a teacher shows it. Reach is not judged: whoever teaches it has held it. The
 * thumb counts as a finger below the first.
 */
export function fingeringBy(presses: readonly Press[], frets: Frets, neck: Neck): Fingering {
  const low = lowestFret(frets);
  const number = ({ finger }: Press) => (finger === 'T' ? 0 : finger);
  const ordered = presses.toSorted((a, b) => a.fret - b.fret || number(a) - number(b));
  const plan = ordered.map((press) => stopOf(press, frets, low));
  const set = ordered.map(number);
  const amounts = new Float64Array(FINGERING.weights.length);
  countAnywhere(plan, set, amounts);
  countPlaced(plan, set, low, neck, amounts);
  return { presses, amounts, cost: weighed(amounts, FINGERING.weights) };
}

function stopOf({ fret, from, to }: Press, frets: Frets, low: Fret): Stop {
  const strings = frets.slice(6 - from, 7 - to);
  const next = frets[7 - to];
  return {
    above: fret - low,
    from,
    to,
    sounds: strings.filter((held) => held === fret).length,
    clears: from > to && typeof next === 'number' && next < fret,
  };
}

const { at } = FINGERING;
/** One row serves all ways that are only compared. */
const scratch: Amounts = new Float64Array(FINGERING.weights.length);

/** Infinity when two fingers cannot reach their stops at once. */
function placedCost({ plan, set, floor }: Way, low: Fret, neck: Neck): number {
  scratch[at.barreAtNut] = 0;
  scratch[at.stretch] = 0;
  if (!countPlaced(plan, set, low, neck, scratch)) return Infinity;
  return (
    floor +
    scratch[at.barreAtNut]! * FINGERING_EASE.barreAtNut +
    scratch[at.stretch]! * FINGERING_EASE.stretch
  );
}

/** Of a way that can be reached. */
function fingeringOfWay({ plan, set }: Way, low: Fret, neck: Neck): Fingering {
  const presses = plan.map(({ above, from, to }, i): Press => {
    return { finger: set[i]!, fret: low + above, from, to };
  });
  const amounts = new Float64Array(FINGERING.weights.length);
  countAnywhere(plan, set, amounts);
  countPlaced(plan, set, low, neck, amounts);
  return { presses, amounts, cost: weighed(amounts, FINGERING.weights) };
}

/** All amounts that are the same wherever on the neck the plan is held. */
function countAnywhere(plan: StopPlan, set: readonly (Finger | 0)[], amounts: Amounts): void {
  amounts[at.finger] = plan.length;
  amounts[at.fourthFinger] = set.at(-1) === 4 ? 1 : 0;
  plan.forEach((stop, i) => {
    const finger = set[i] as number;
    countBarre(stop, finger, amounts);
    const next = plan[i + 1];
    if (next?.above === stop.above) {
      countBeside(stop, next, (set[i + 1] as number) - finger, amounts);
    }
  });
}

/** The amounts that depend on the place; false when two fingers cannot reach their stops at once. */
function countPlaced(
  plan: StopPlan,
  set: readonly (Finger | 0)[],
  low: Fret,
  neck: Neck,
  amounts: Amounts,
): boolean {
  for (let i = 0; i < plan.length; i++) {
    const stop = plan[i]!;
    if (stop.from > stop.to) amounts[at.barreAtNut]! += nearnessToNut(low + stop.above);
    const next = plan[i + 1];
    if (!next || next.above === stop.above) continue;
    const fingers = [set[i] as number, set[i + 1] as number] as const;
    if (!countReach(stop, next, fingers, low, neck, amounts)) return false;
  }
  return true;
}

/** From this fret up the nut no longer makes strings stiffer. */
const AWAY_FROM_NUT: Fret = 5;

/** 1 at fret 1, 0 where the nut no longer makes strings stiffer. */
const nearnessToNut = (fret: Fret): number =>
  Math.max(0, (AWAY_FROM_NUT - fret) / (AWAY_FROM_NUT - 1));

function countBarre(stop: Stop, finger: number, amounts: Amounts): void {
  if (stop.from === stop.to) return;
  amounts[at.barre]! += 1;
  amounts[at.barreString]! += stop.sounds - 1;
  if (finger !== 1) amounts[at.barreByOther]! += 1;
  if (stop.clears) amounts[at.barreClearing]! += 1;
}

/** Comfortable reach from one finger to another, by their numbers. */
const COMFORT: readonly (readonly Millimetres[])[] = [0, 1, 2, 3, 4].map((low) =>
  [0, 1, 2, 3, 4].map((high) =>
    REACH.comfort.slice(Math.max(low, 1) - 1, Math.max(high, 1) - 1).reduce((a, b) => a + b, 0),
  ),
);

/** False when the two fingers cannot reach their stops at once. */
function countReach(
  a: Stop,
  b: Stop,
  [lower, higher]: readonly [number, number],
  low: Fret,
  neck: Neck,
  amounts: Amounts,
): boolean {
  const tips = tipTable(neck);
  const along = tips[low + b.above]! - tips[low + a.above]!;
  const distance = Math.hypot(along, 0.5 * acrossBetween(a, b, along, neck));
  const comfort = COMFORT[lower]![higher]!;
  if (distance > Math.min(comfort * REACH.limit, REACH.widest)) return false;
  amounts[at.stretch]! += Math.max(0, (distance - comfort) / 10) ** 2;
  return true;
}

/** Fingers in the same fret space: neighbours crowd, a finger skipped between them has to fold away. */
function countBeside(a: Stop, b: Stop, apart: number, amounts: Amounts): void {
  amounts[at.skippedFinger]! += apart - 1;
  if (a.to - b.from === 1 || b.to - a.from === 1) amounts[at.crowding]! += 1;
  if (a.from < b.from) amounts[at.crossed]! += 1;
  if (a.from > a.to || b.from > b.to) amounts[at.besideBarre]! += 1;
}

/** 0 where a barre already lies over the other's string. */
function acrossBetween(a: Stop, b: Stop, along: Millimetres, neck: Neck): Millimetres {
  const gap = Math.max(b.to - a.from, a.to - b.from, 0);
  return Math.abs(stringOffset(6, along, neck) - stringOffset(6 - gap, along, neck));
}

/** Stopped frets too far apart for any hand: decided before fingers are tried. */
export const spanAllowed = (low: Fret, high: Fret, neck: Neck, span: Millimetres): boolean =>
  fretDistance(high + neck.capo, neck.scale) - fretDistance(low + neck.capo, neck.scale) <= span;
