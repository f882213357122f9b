// Which finger goes where: every way a hand can hold given frets, and what each costs.
import type { Frets } from '../chart/model.ts';
import type { Finger, Fret, Millimetres } from '../units.ts';
import { type Neck, fretDistance, stringOffset, tipTable } from './geometry.ts';
import { type Press, lowestFret } from './shape.ts';
import { type Stop, type StopPlan, MOST_FINGERS, stopPlans } from './stops.ts';
import { EASE, REACH } from './weights.ts';

export interface Fingering {
  readonly presses: readonly Press[];
  readonly fingers: number;
  readonly barre: number;
  readonly stretch: number;
  /** Sum of the three. */
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

/**
 * All fingerings a hand can hold, easiest first; empty when it cannot. A higher finger never stands on
 * a lower fret; within a fret, lower fingers usually take lower-sounding strings (common practice, no source).
 */
export function fingeringsOf(frets: Frets, neck: Neck): readonly Fingering[] {
  const low = lowestFret(frets);
  return stopPlans(frets)
    .flatMap((plan) =>
      FINGER_SETS[plan.length]!.flatMap((set) =>
        costOf(plan, set, low, neck) < Infinity ? [fingeringWith(plan, set, low, neck)] : [],
      ),
    )
    .sort((a, b) => a.cost - b.cost);
}

/** The easiest one, or undefined when no hand can hold these frets. */
export function easiestFingering(frets: Frets, neck: Neck): Fingering | undefined {
  const low = lowestFret(frets);
  let least = Infinity;
  let best: readonly [StopPlan, readonly Finger[]] | undefined;
  for (const plan of stopPlans(frets)) {
    if (plan.length * EASE.finger >= least) continue;
    for (const set of FINGER_SETS[plan.length]!) {
      const cost = costOf(plan, set, low, neck);
      if (cost < least) {
        least = cost;
        best = [plan, set];
      }
    }
  }
  return best && fingeringWith(...best, low, neck);
}

/** Infinity when two fingers cannot reach their stops at once. */
const costOf = (plan: StopPlan, set: readonly Finger[], low: Fret, neck: Neck): number =>
  fingersCost(plan, set) + barresCost(plan, set, low) + stretchCost(plan, set, low, neck);

function fingeringWith(plan: StopPlan, set: readonly Finger[], low: Fret, neck: Neck): Fingering {
  const presses = plan.map(({ above, from, to }, i): Press => {
    return { finger: set[i]!, fret: low + above, from, to };
  });
  const fingers = fingersCost(plan, set);
  const barre = barresCost(plan, set, low);
  const stretch = stretchCost(plan, set, low, neck);
  return { presses, fingers, barre, stretch, cost: fingers + barre + stretch };
}

const fingersCost = (plan: StopPlan, set: readonly Finger[]): number =>
  plan.length * EASE.finger + (set.at(-1) === 4 ? EASE.fourthFinger : 0);

function barresCost(plan: StopPlan, set: readonly Finger[], low: Fret): number {
  let cost = 0;
  for (let i = 0; i < plan.length; i++) cost += barreCost(plan[i]!, set[i]!, low);
  return cost;
}

function stretchCost(plan: StopPlan, set: readonly Finger[], low: Fret, neck: Neck): number {
  let cost = 0;
  for (let i = 0; i + 1 < plan.length; i++) {
    const fingers = [set[i] as number, set[i + 1] as number] as const;
    cost += reachCost(plan[i]!, plan[i + 1]!, fingers, low, neck);
  }
  return cost;
}

function barreCost(stop: Stop, finger: Finger, low: Fret): number {
  if (stop.from === stop.to) return 0;
  const atNut = 1 + EASE.barreAtNut * Math.max(0, (5 - low - stop.above) / 4);
  const other = finger === 1 ? 0 : EASE.barreByOther;
  const clearing = stop.clears ? EASE.barreClearing : 0;
  return (EASE.barre + (stop.sounds - 1) * EASE.barreString) * atNut + other + clearing;
}

/** Comfortable reach from one finger to another, by their numbers. */
const COMFORT: readonly (readonly Millimetres[])[] = [0, 1, 2, 3, 4].map((low) =>
  [0, 1, 2, 3, 4].map((high) =>
    REACH.comfort.slice(Math.max(low, 1) - 1, Math.max(high, 1) - 1).reduce((a, b) => a + b, 0),
  ),
);

/** Infinity when the two fingers cannot reach their stops at once. */
function reachCost(
  a: Stop,
  b: Stop,
  [lower, higher]: readonly [number, number],
  low: Fret,
  neck: Neck,
): number {
  if (a.above === b.above) return besideCost(a, b, higher - lower);
  const tips = tipTable(neck);
  const along = tips[low + b.above]! - tips[low + a.above]!;
  const distance = Math.hypot(along, 0.5 * acrossBetween(a, b, along, neck));
  const comfort = COMFORT[lower]![higher]!;
  if (distance > Math.min(comfort * REACH.limit, REACH.widest)) return Infinity;
  return Math.max(0, (distance - comfort) / 10) ** 2 * EASE.stretch;
}

/** Fingers in the same fret space: neighbours crowd, a finger skipped between them has to fold away. */
function besideCost(a: Stop, b: Stop, apart: number): number {
  const crowded = a.to - b.from === 1 || b.to - a.from === 1 ? EASE.crowding : 0;
  const crossed = a.from < b.from ? EASE.crossed : 0;
  const flat = a.from > a.to || b.from > b.to ? EASE.besideBarre : 0;
  return (apart - 1) * EASE.skippedFinger + crowded + crossed + flat;
}

/** 0 where a barre already lies over the other's string. */
function acrossBetween(a: Stop, b: Stop, along: Millimetres, neck: Neck): Millimetres {
  const gap = Math.max(b.to - a.from, a.to - b.from, 0);
  return Math.abs(stringOffset(6, along, neck) - stringOffset(6 - gap, along, neck));
}

/** Stopped frets too far apart for any hand: decided before fingers are tried. */
export const spanAllowed = (low: Fret, high: Fret, neck: Neck, span: Millimetres): boolean =>
  fretDistance(high + neck.capo, neck.scale) - fretDistance(low + neck.capo, neck.scale) <= span;
