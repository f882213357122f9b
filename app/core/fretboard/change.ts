// The cost of going from one fingered shape to the next: finger by finger, in millimetres, in parts.
import type { Finger, Millimetres } from '../base/units.ts';
import type { Neck } from './geometry.ts';
import { FINGERS, handOf, slotOf } from './hand.ts';
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

export interface ShapeChange {
  readonly fingers: readonly FingerMove[];
  readonly barre: 'none' | 'made' | 'released' | 'kept' | 'remade';
  /** Frets that the hand moves towards the bridge; negative towards the nut. */
  readonly shiftFrets: number;
  readonly shift: Millimetres;
  readonly parts: ChangeParts;
  readonly cost: number;
}

/** Strings under one finger from which on it lies flat across the neck. Ours. */
const WHOLE_BARRE = 4;

/** Symmetric only in distance: making a barre costs more than releasing one. */
export function changeBetween(from: Shape, to: Shape, neck: Neck): ShapeChange {
  return changeOfHands(handOf(from, neck), handOf(to, neck));
}

/** As {@link changeBetween}, for callers that compare many shapes and placed their fingers once. */
export function changeOfHands(from: Hand, to: Hand): ShapeChange {
  const fingers: FingerMove[] = [];
  for (let slot = 0; slot < FINGERS.length; slot++) {
    const move = moveOf(slot, from, to);
    if (move) fingers.push(move);
  }
  const barre = barreChange(from, to, fingers);
  const held = from.fret !== undefined && to.fret !== undefined;
  const shift = held ? to.along - from.along : 0;
  const shiftFrets = held ? Math.round(to.fret - from.fret) : 0;
  const parts = partsOf(fingers, barre, from, to, Math.abs(shift));
  return { fingers, barre, shiftFrets, shift, parts, cost: sum(parts) };
}

function moveOf(slot: number, from: Hand, to: Hand): FingerMove | undefined {
  const before = from.fingers[slot];
  const after = to.fingers[slot];
  if (!before && !after) return undefined;
  const finger = FINGERS[slot]!;
  if (!after) return { finger, kind: 'lifts', along: 0, across: 0 };
  if (before && staysOn(before, after)) return { finger, kind: 'stays', along: 0, across: 0 };
  const start = before ?? from.hover[slot] ?? after;
  const along = Math.abs(after.along - start.along);
  const across = Math.abs(after.across - start.across);
  if (!before) return { finger, kind: 'lands', along, across };
  return { finger, kind: slides(before, after) ? 'slides' : 'moves', along, across };
}

/** On the same fret the tip, or part of a barre, need not leave the string; a tip is laid down anew as a whole barre. */
const staysOn = (a: PlacedFinger, b: PlacedFinger): boolean =>
  a.fret === b.fret && overlap(a, b) && isWhole(a) === isWhole(b);
const isWhole = ({ from, to }: PlacedFinger): boolean => from - to + 1 >= WHOLE_BARRE;
/** Along the same string, or a barre along the same strings. */
const slides = (a: PlacedFinger, b: PlacedFinger): boolean => a.barre === b.barre && overlap(a, b);
const overlap = (a: PlacedFinger, b: PlacedFinger): boolean => a.from >= b.to && b.from >= a.to;

const hasBarre = (hand: Hand): boolean => hand.fingers.some((finger) => finger?.barre);

function barreChange(from: Hand, to: Hand, moves: readonly FingerMove[]): ShapeChange['barre'] {
  const before = hasBarre(from);
  if (!hasBarre(to)) return before ? 'released' : 'none';
  if (!before) return 'made';
  const kept = moves.every((move) => {
    const slot = slotOf(move.finger);
    if (!to.fingers[slot]?.barre) return true;
    return from.fingers[slot]?.barre === true && move.kind !== 'moves';
  });
  return kept ? 'kept' : 'remade';
}

/** Strings under the widest barre of a hand; 0 without one. */
const barreWidth = (hand: Hand): number =>
  Math.max(0, ...hand.fingers.map((finger) => (finger?.barre ? finger.from - finger.to + 1 : 0)));

function barreCost(barre: ShapeChange['barre'], to: Hand): number {
  const made = CHANGE.barreMade + CHANGE.barreMadeString * Math.max(0, barreWidth(to) - 2);
  switch (barre) {
    case 'none':
    case 'kept':
      return 0;
    case 'released':
      return CHANGE.barreReleased;
    case 'made':
      return made;
    case 'remade':
      return made + CHANGE.barreReleased;
  }
}

function partsOf(
  moves: readonly FingerMove[],
  barre: ShapeChange['barre'],
  from: Hand,
  to: Hand,
  shift: Millimetres,
): ChangeParts {
  const together = isOneShape(from, to) ? CHANGE.together : 1;
  const anchored = moves.some((move) => move.kind === 'stays') ? CHANGE.anchored : 1;
  const arriving = moves.filter(({ kind }) => kind === 'lands' || kind === 'moves').length;
  const atOnce = 1 + CHANGE.atOnce * (arriving - 2);
  let [lifting, landing, sliding, aiming] = [0, 0, 0, 0];
  for (const move of moves) {
    aiming += aimCost(move) * anchored * together;
    if (move.kind === 'lifts') lifting += CHANGE.lift;
    else if (move.kind === 'lands') landing += CHANGE.land * atOnce;
    else if (move.kind === 'moves') landing += CHANGE.move * together * atOnce;
    else if (move.kind === 'slides') sliding += CHANGE.slide * together;
  }
  const moved = (shift / 100) * CHANGE.shift;
  return { lifting, landing, sliding, aiming, barre: barreCost(barre, to), shift: moved };
}

/** Do all fingers go the same way, so that the hand moves its shape as it is? One finger is no shape. */
function isOneShape(from: Hand, to: Hand): boolean {
  const ways = from.fingers.flatMap((a, slot) => {
    const b = to.fingers[slot];
    if (!a && !b) return [];
    return [a && b ? `${b.fret - a.fret} ${b.from - a.from} ${b.to - a.to}` : 'none'];
  });
  return ways.length > 1 && ways[0] !== 'none' && ways.every((way) => way === ways[0]);
}

/** Fitts's index of difficulty in the form log2(1 + distance / target width) (MacKenzie 1992, from memory). */
const aimCost = ({ along, across }: FingerMove): number =>
  CHANGE.aim * Math.log2(1 + Math.sqrt(along * along + across * across) / CHANGE.target);

const sum = (parts: ChangeParts): number =>
  parts.lifting + parts.landing + parts.sliding + parts.aiming + parts.barre + parts.shift;
