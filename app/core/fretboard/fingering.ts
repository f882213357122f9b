// Which finger goes where: every way a hand can hold given frets, and what each costs.
import type { Frets } from '../chart/model.ts';
import type { Finger, Fret, Millimetres } from '../units.ts';
import { fretDistance, stringOffset, tipDistance } from './geometry.ts';
import type { Neck } from './geometry.ts';
import type { Press } from './shape.ts';
import { EASE, REACH } from './weights.ts';

/** Strings held by one finger before it is said which: a stop at a fret. `from` ≥ `to` as in {@link Press}. */
interface Stop {
  readonly fret: Fret;
  readonly from: number;
  readonly to: number;
  /** Strings that sound at this fret; fewer than it crosses where other fingers stop them higher. */
  readonly sounds: number;
}

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
const FINGER_SETS: readonly (readonly (readonly Finger[])[])[] = [0, 1, 2, 3, 4].map((size) =>
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
  return stopPlans(frets)
    .flatMap((stops) => FINGER_SETS[stops.length]!.flatMap((set) => assign(stops, set, neck)))
    .sort((a, b) => a.cost - b.cost);
}

/** The easiest one, or undefined when no hand can hold these frets. */
export function easiestFingering(frets: Frets, neck: Neck): Fingering | undefined {
  let best: Fingering | undefined;
  for (const stops of stopPlans(frets)) {
    if (best && stops.length * EASE.finger >= best.cost) continue;
    for (const set of FINGER_SETS[stops.length]!) {
      const [fingering] = assign(stops, set, neck);
      if (fingering && (!best || fingering.cost < best.cost)) best = fingering;
    }
  }
  return best;
}

/** Every way to cover the stopped strings with at most four fingers, frets ascending, low strings first. */
function stopPlans(frets: Frets): Stop[][] {
  const stopped = frets.filter((fret): fret is Fret => fret !== null && fret > 0);
  const levels = [...new Set(stopped)].sort((a, b) => a - b);
  if (levels.length > HAND.length) return [];
  let plans: Stop[][] = [[]];
  levels.forEach((fret, i) => {
    const room = HAND.length - (levels.length - 1 - i);
    const groups = groupings(frets, fret);
    plans = plans.flatMap((plan) =>
      groups.flatMap((group) => (plan.length + group.length <= room ? [[...plan, ...group]] : [])),
    );
  });
  return plans;
}

/** The strings of one fret cut into single stops and barres; two stops in both orders of fingers. */
function groupings(frets: Frets, fret: Fret): Stop[][] {
  const strings = frets.flatMap((f, index) => (f === fret ? [6 - index] : []));
  let cuts: Stop[][] = [[]];
  strings.forEach((string) => {
    cuts = cuts.flatMap((cut) => {
      const last = cut.at(-1);
      const alone = [...cut, { fret, from: string, to: string, sounds: 1 }];
      if (!last || !canBar(frets, fret, last.from, string)) return [alone];
      return [alone, [...cut.slice(0, -1), { ...last, to: string, sounds: last.sounds + 1 }]];
    });
  });
  return cuts.flatMap((cut) => (cut.length === 2 ? [cut, cut.toReversed()] : [cut]));
}

/** A barre lies across every string between its ends: none may be open or stopped lower (another finger damps a muted one). */
function canBar(frets: Frets, fret: Fret, from: number, to: number): boolean {
  for (let string = from; string >= to; string--) {
    const held = frets[6 - string];
    if (held !== null && held! < fret) return false;
  }
  return true;
}

function assign(stops: readonly Stop[], set: readonly Finger[], neck: Neck): Fingering[] {
  let stretch = 0;
  for (let i = 0; i + 1 < stops.length; i++) {
    const pair = reachCost(stops[i]!, stops[i + 1]!, set[i] as number, set[i + 1] as number, neck);
    if (pair === undefined) return [];
    stretch += pair;
  }
  const presses = stops.map(({ fret, from, to }, i): Press => ({
    finger: set[i]!,
    fret,
    from,
    to,
  }));
  const fingers = presses.length * EASE.finger + (set.includes(4) ? EASE.fourthFinger : 0);
  const barre = stops.reduce((total, stop, i) => total + barreCost(stop, set[i]!), 0);
  return [{ presses, fingers, barre, stretch, cost: fingers + barre + stretch }];
}

function barreCost(stop: Stop, finger: Finger): number {
  if (stop.from === stop.to) return 0;
  const atNut = 1 + EASE.barreAtNut * Math.max(0, (5 - stop.fret) / 4);
  const other = finger === 1 ? 0 : EASE.barreByOther;
  return (EASE.barre + (stop.sounds - 1) * EASE.barreString) * atNut + other;
}

/** Comfortable reach from one finger to another, by their numbers. */
const COMFORT: readonly (readonly Millimetres[])[] = [0, 1, 2, 3, 4].map((low) =>
  [0, 1, 2, 3, 4].map((high) =>
    REACH.comfort.slice(Math.max(low, 1) - 1, Math.max(high, 1) - 1).reduce((a, b) => a + b, 0),
  ),
);

/** Undefined when the two fingers cannot reach their stops at once. */
function reachCost(a: Stop, b: Stop, low: number, high: number, neck: Neck): number | undefined {
  if (a.fret === b.fret) return besideCost(a, b, high - low);
  const tips = tipTable(neck);
  const along = tips[b.fret]! - tips[a.fret]!;
  const distance = Math.hypot(along, 0.5 * acrossBetween(a, b, along, neck));
  const comfort = COMFORT[low]![high]!;
  if (distance > comfort * REACH.limit) return undefined;
  return Math.max(0, (distance - comfort) / 10) ** 2 * EASE.stretch;
}

const tables = new WeakMap<Neck, Float64Array>();
const LAST_FRET: Fret = 24;

/** {@link tipDistance} of every fret, once per neck. */
function tipTable(neck: Neck): Float64Array {
  const known = tables.get(neck);
  if (known) return known;
  const table = Float64Array.from({ length: LAST_FRET + 1 }, (_, fret) => tipDistance(fret, neck));
  tables.set(neck, table);
  return table;
}

/** Fingers in the same fret space: neighbours crowd, a finger skipped between them has to fold away. */
function besideCost(a: Stop, b: Stop, apart: number): number {
  const crowded = a.to - b.from === 1 || b.to - a.from === 1 ? EASE.crowding : 0;
  const crossed = a.from < b.from ? EASE.crossed : 0;
  return (apart - 1) * EASE.skippedFinger + crowded + crossed;
}

/** 0 where a barre already lies over the other's string. */
function acrossBetween(a: Stop, b: Stop, along: Millimetres, neck: Neck): Millimetres {
  const gap = Math.max(b.to - a.from, a.to - b.from, 0);
  return Math.abs(stringOffset(6, along, neck) - stringOffset(6 - gap, along, neck));
}

/** Stopped frets too far apart for any hand: decided before fingers are tried. */
export const spanAllowed = (low: Fret, high: Fret, neck: Neck, span: Millimetres): boolean =>
  fretDistance(high + neck.capo, neck.scale) - fretDistance(low + neck.capo, neck.scale) <= span;
