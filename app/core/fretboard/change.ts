// The cost of going from one fingered shape to the next: finger by finger, in millimetres, in parts.
import type { Finger, Millimetres } from '../units.ts';
import type { Neck } from './geometry.ts';
import { handOf, hoverOf } from './hand.ts';
import type { Hand, PlacedFinger } from './hand.ts';
import type { Shape } from './shape.ts';
import { CHANGE } from './weights.ts';

/** What one finger does. Lifting ends on no string, landing begins on none. */
export interface FingerMove {
  readonly finger: Finger;
  readonly kind: 'stays' | 'slides' | 'moves' | 'lands' | 'lifts';
  /** Way of the tip; for a landing finger from where it hovers; 0 for one that stays or lifts. */
  readonly along: Millimetres;
  readonly across: Millimetres;
}

/** Same unit as a shape's ease. All 0 or more; they add up to `cost`. */
export interface ChangeParts {
  readonly lifting: number;
  readonly landing: number;
  readonly sliding: number;
  readonly aiming: number;
  readonly barre: number;
  readonly shift: number;
}

export interface Change {
  readonly fingers: readonly FingerMove[];
  readonly barre: 'none' | 'made' | 'released' | 'kept' | 'remade';
  /** Frets that the hand moves towards the bridge; negative towards the nut. */
  readonly shiftFrets: number;
  readonly shift: Millimetres;
  readonly parts: ChangeParts;
  readonly cost: number;
}

/** Symmetric only in distance: making a barre costs more than releasing one. */
export function changeBetween(from: Shape, to: Shape, neck: Neck): Change {
  return changeOfHands(handOf(from, neck), handOf(to, neck), neck);
}

/** As {@link changeBetween}, for callers that compare many shapes and placed their fingers once. */
export function changeOfHands(from: Hand, to: Hand, neck: Neck): Change {
  const fingers = ([1, 2, 3, 4, 'T'] as const).flatMap(
    (finger) => moveOf(finger, from, to, neck) ?? [],
  );
  const barre = barreChange(from, to, fingers);
  const held = from.fret !== undefined && to.fret !== undefined;
  const shift = held ? to.along - from.along : 0;
  const shiftFrets = held ? Math.round(to.fret - from.fret) : 0;
  const parts = partsOf(fingers, barre, Math.abs(shift));
  return { fingers, barre, shiftFrets, shift, parts, cost: sum(parts) };
}

function moveOf(finger: Finger, from: Hand, to: Hand, neck: Neck): FingerMove | undefined {
  const before = from.fingers.find((f) => f.finger === finger);
  const after = to.fingers.find((f) => f.finger === finger);
  if (!before && !after) return undefined;
  if (!after) return { finger, kind: 'lifts', along: 0, across: 0 };
  const start = before ?? hoverOf(finger, from, neck) ?? after;
  const along = Math.abs(after.along - start.along);
  const across = Math.abs(after.across - start.across);
  if (!before) return { finger, kind: 'lands', along, across };
  if (staysOn(before, after)) return { finger, kind: 'stays', along: 0, across: 0 };
  return { finger, kind: slides(before, after) ? 'slides' : 'moves', along, across };
}

/** On the same fret the tip, or part of the barre, need not leave the string. */
const staysOn = (a: PlacedFinger, b: PlacedFinger): boolean => a.fret === b.fret && overlap(a, b);
/** Along the same string, or a barre along the same strings. */
const slides = (a: PlacedFinger, b: PlacedFinger): boolean => a.barre === b.barre && overlap(a, b);
const overlap = (a: PlacedFinger, b: PlacedFinger): boolean => a.from >= b.to && b.from >= a.to;

function barreChange(from: Hand, to: Hand, moves: readonly FingerMove[]): Change['barre'] {
  const before = from.fingers.filter((f) => f.barre);
  const after = to.fingers.filter((f) => f.barre);
  if (before.length === 0 && after.length === 0) return 'none';
  if (after.length === 0) return 'released';
  const kept = after.every((b) =>
    before.some(
      (a) =>
        a.finger === b.finger && moves.some((m) => m.finger === b.finger && m.kind !== 'moves'),
    ),
  );
  if (kept) return 'kept';
  return before.length === 0 ? 'made' : 'remade';
}

const BARRE_COST: Readonly<Record<Change['barre'], number>> = {
  none: 0,
  kept: 0,
  released: CHANGE.barreReleased,
  made: CHANGE.barreMade,
  remade: CHANGE.barreMade + CHANGE.barreReleased,
};

function partsOf(
  moves: readonly FingerMove[],
  barre: Change['barre'],
  shift: Millimetres,
): ChangeParts {
  const count = (kind: FingerMove['kind']) => moves.filter((move) => move.kind === kind).length;
  return {
    lifting: count('lifts') * CHANGE.lift,
    landing: count('lands') * CHANGE.land + count('moves') * CHANGE.move,
    sliding: count('slides') * CHANGE.slide,
    aiming: moves.reduce((total, move) => total + aimCost(move), 0),
    barre: BARRE_COST[barre],
    shift: (shift / 100) * CHANGE.shift,
  };
}

/** Fitts's index of difficulty in the form log2(1 + distance / target width) (MacKenzie 1992, from memory). */
const aimCost = ({ along, across }: FingerMove): number =>
  CHANGE.aim * Math.log2(1 + Math.hypot(along, across) / CHANGE.target);

const sum = (parts: ChangeParts): number =>
  parts.lifting + parts.landing + parts.sliding + parts.aiming + parts.barre + parts.shift;
