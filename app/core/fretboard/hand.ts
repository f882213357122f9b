// Where the hand is while it holds a shape: each fingertip in millimetres, and the hand's own place.
import type { Finger, Fret, Millimetres, StringNo } from '../units.ts';
import { fretDistance, stringOffset, tipDistance } from './geometry.ts';
import type { Neck } from './geometry.ts';
import type { Press, Shape } from './shape.ts';
import { isBarre } from './shape.ts';

export interface PlacedFinger {
  readonly finger: Finger;
  readonly fret: Fret;
  readonly from: StringNo;
  readonly to: StringNo;
  readonly barre: boolean;
  /** Of the tip, or the middle of a barre. */
  readonly along: Millimetres;
  readonly across: Millimetres;
}

export interface Hand {
  /** At most one per finger. */
  readonly fingers: readonly PlacedFinger[];
  /** The fret at which the first finger is or would be; 1 is first position. Undefined with no finger down. */
  readonly fret?: number;
  /** The same in millimetres from the nut, and the mean of the tips across. */
  readonly along: Millimetres;
  readonly across: Millimetres;
}

export function handOf(shape: Pick<Shape, 'presses'>, neck: Neck): Hand {
  const fingers = shape.presses.map((press) => placed(press, neck));
  if (fingers.length === 0) return { fingers, along: 0, across: 0 };
  const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
  const fret = Math.max(1, mean(fingers.map((f) => f.fret - fingerNumber(f.finger) + 1)));
  return {
    fingers,
    fret,
    along: fretDistance(fret + neck.capo, neck.scale),
    across: mean(fingers.map((f) => f.across)),
  };
}

/** The thumb reaches over the neck beside the first finger. */
const fingerNumber = (finger: Finger): number => (finger === 'T' ? 1 : finger);

function placed(press: Press, neck: Neck): PlacedFinger {
  const along = tipDistance(press.fret, neck);
  const across = (stringOffset(press.from, along, neck) + stringOffset(press.to, along, neck)) / 2;
  return { ...press, barre: isBarre(press), along, across };
}

/** Where an unused finger hovers: its own fret from the hand's place, over the middle of the others. */
export function hoverOf(
  finger: Finger,
  hand: Hand,
  neck: Neck,
): { readonly along: Millimetres; readonly across: Millimetres } | undefined {
  if (hand.fret === undefined) return undefined;
  const along = tipDistance(hand.fret + fingerNumber(finger) - 1, neck);
  return { along, across: hand.across };
}
