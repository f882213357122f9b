// The shapes through a row of chords: one grip for each chord, the one that is taught, unless its neighbours ask for another.
import { Remembered } from '../base/remembered.ts';
import type { Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import { shownChord } from '../harmony/print.ts';
import type { Problem } from '../base/result.ts';
import { changeOfHands } from './change.ts';
import type { ChordStep } from './chord-step.ts';
import { printFrets } from './frets.ts';
import { type GripChoice, type GripChoices, gripChoices } from './grip-choices.ts';
import type { Hand } from './hand.ts';
import { type ShapeOptions, USUAL_OPTIONS } from './search.ts';
import { type Shape, fingersInWords } from './shape.ts';
import { PATH } from './weights.ts';

export type PathStep =
  | {
      readonly kind: 'shape';
      readonly step: ChordStep;
      /** Fingered. */
      readonly chord: SoundingChord;
      readonly shape: Shape;
      /** Why it is not held in the usual way, in words: "A as 577655 here: the usual x02220 is far …". */
      readonly why?: string;
    }
  | { readonly kind: 'silence'; readonly step: ChordStep }
  /** Nothing to hold here; the rest of the path goes on without it. */
  | { readonly kind: 'problem'; readonly step: ChordStep; readonly problem: Problem };

export interface Path {
  readonly steps: readonly PathStep[];
  /** Sum of all changes; a comparison, not a measurement. */
  readonly cost: number;
}

/**
 * One grip for each chord of a section: the usual one, whatever the tempo. Another fingering of it, or another grip
 * that is taught, takes its place only where that makes the changes around it far easier, and then everywhere in
 * that section; `why` says so. Pinned shapes are kept. A chord that cannot be read or played becomes a problem
 * step; it and N.C. part the path, since the hand has time there.
 */
export function bestPath(
  steps: readonly ChordStep[],
  tuning: Tuning,
  given: Partial<ShapeOptions> = {},
): Path {
  const options = { ...USUAL_OPTIONS, ...given };
  const places = placesOf(steps, tuning, options);
  const chosen = settled(places);
  const solved = places.map((place, i): PathStep =>
    place.kind === 'grip' ? shapeStep(place, i, places, chosen) : place,
  );
  return { steps: solved, cost: pathCost(places, chosen) };
}

/** A chord to be held; places with one `key` are held alike. */
interface GripPlace extends GripChoices {
  readonly kind: 'grip';
  readonly step: ChordStep;
  readonly key: string;
}

type PathPlace = GripPlace | Exclude<PathStep, { kind: 'shape' }>;

function placesOf(steps: readonly ChordStep[], tuning: Tuning, options: ShapeOptions): PathPlace[] {
  const known = new Map<string, ReturnType<typeof gripChoices>>();
  return steps.map((step): PathPlace => {
    const { chord } = step;
    if (chord.kind === 'unread') return { kind: 'problem', step, problem: chord.problem };
    if (chord.kind === 'silence') return { kind: 'silence', step };
    const name = `${chord.rootPc} ${chord.quality} ${chord.bassPc} ${step.pin?.join() ?? ''}`;
    const found = known.get(name) ?? knownChoices(name, chord, step.pin, tuning, options);
    known.set(name, found);
    if (!found.ok) return { kind: 'problem', step, problem: found.problems[0]! };
    return { kind: 'grip', step, key: `${step.section ?? ''} ${name}`, ...found.value, chord };
  });
}

/** By chord, pin and guitar: a chart has few of them, and its paths are asked for again after every edit. */
const choices = new Remembered<string, ReturnType<typeof gripChoices>>(400);

function knownChoices(
  name: string,
  ...asked: Parameters<typeof gripChoices>
): ReturnType<typeof gripChoices> {
  const [chord, , tuning, { neck, ...options }] = asked;
  const guitar = [...tuning.strings, ...Object.values(neck), ...Object.values(options)].join();
  const key = `${chord.symbol} ${chord.names ?? ''} ${name} ${tuning.name} ${guitar}`;
  return choices.of(key, () => gripChoices(...asked));
}

/** By key: which of its choices. */
type Chosen = ReadonlyMap<string, number>;

/** Rounds of looking at every chord again; everyday rows settle in one or two. */
const ROUNDS = 6;

/** From the usual grips on, chord by chord to whatever costs the row less, until nothing changes. */
function settled(places: readonly PathPlace[]): Chosen {
  const chosen = new Map<string, number>();
  const spots = new Map<string, number[]>();
  places.forEach((place, i) => {
    if (place.kind !== 'grip') return;
    chosen.set(place.key, 0);
    spots.set(place.key, [...(spots.get(place.key) ?? []), i]);
  });
  for (let round = 0; round < ROUNDS; round++) {
    let moved = false;
    for (const [key, at] of spots) {
      const { choices } = places[at[0]!] as GripPlace;
      const costs = choices.map((_, c) => costAround(places, new Map(chosen).set(key, c), at));
      const best = costs.indexOf(Math.min(...costs));
      if (best === chosen.get(key) || costs[best]! >= costs[chosen.get(key)!]! - 1e-9) continue;
      chosen.set(key, best);
      moved = true;
    }
    if (!moved) break;
  }
  return chosen;
}

const gripAt = (
  places: readonly PathPlace[],
  chosen: Chosen,
  i: number,
): GripChoice | undefined => {
  const place = places[i];
  return place?.kind === 'grip' ? place.choices[chosen.get(place.key)!] : undefined;
};

/** What the grips at some places cost: leaving the usual ones, and every change into and out of them. */
function costAround(places: readonly PathPlace[], chosen: Chosen, at: readonly number[]): number {
  let cost = 0;
  for (const i of at) {
    cost += gripAt(places, chosen, i)!.penalty + changeInto(places, chosen, i);
    // The change out of it is counted as the change into the next one, unless that is the same chord.
    if (!at.includes(i + 1)) cost += changeInto(places, chosen, i + 1);
  }
  return cost;
}

function changeInto(places: readonly PathPlace[], chosen: Chosen, i: number): number {
  const [from, to] = [gripAt(places, chosen, i - 1), gripAt(places, chosen, i)];
  return from && to ? changeCost(from.hand, to.hand) : 0;
}

const pathCost = (places: readonly PathPlace[], chosen: Chosen): number =>
  places.reduce((sum, _, i) => sum + changeInto(places, chosen, i), 0);

const costs = new WeakMap<Hand, WeakMap<Hand, number>>();

/** What a path counts for a change: a comparison. */
export function changeCost(from: Hand, to: Hand): number {
  const row = costs.get(from) ?? new WeakMap<Hand, number>();
  costs.set(from, row);
  const cost = row.get(to) ?? freshCost(from, to);
  row.set(to, cost);
  return cost;
}

/** A row that lies high on the neck stays there, so far leaps count more than the one change does. */
function freshCost(from: Hand, to: Hand): number {
  const { cost, shiftFrets } = changeOfHands(from, to);
  return cost + PATH.leapFret * Math.max(0, Math.abs(shiftFrets) - PATH.leapFrom);
}

function shapeStep(
  place: GripPlace,
  i: number,
  places: readonly PathPlace[],
  chosen: Chosen,
): PathStep {
  const choice = gripAt(places, chosen, i)!;
  const why = reasonOf(place, choice, i, places);
  const { step, chord } = place;
  return { kind: 'shape', step, chord, shape: choice.shape, ...(why && { why }) };
}

/** One line where the usual grip or its usual fingers are left. */
function reasonOf(
  place: GripPlace,
  { kind, shape }: GripChoice,
  i: number,
  places: readonly PathPlace[],
): string | undefined {
  if (kind === 'usual') return undefined;
  const name = shownChord(place.chord);
  if (kind === 'other grip') {
    const usual = printFrets(place.choices[0].shape.frets);
    return `${name} as ${printFrets(shape.frets)} here: the usual ${usual} lies far from the shapes around it.`;
  }
  const [before, after] = [i - 1, i + 1].map((at) => places[at]);
  const beside = after?.kind === 'grip' ? after : before?.kind === 'grip' ? before : undefined;
  const where = beside
    ? ` ${beside === after ? 'before' : 'after'} ${shownChord(beside.chord)}`
    : '';
  return `${name} with fingers ${fingersInWords(shape)}${where}: fewer fingers have to jump.`;
}
