// Where the hand is while it holds a shape: each fingertip in millimetres, and the hand's own place.
import type { Finger, Fret, Millimetres, StringNo } from '../base/units.ts';
import { fretDistance, stringOffset, tipDistance } from './geometry.ts';
import type { Neck, Tip } from './geometry.ts';
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
  /** At most one per finger, by {@link slotOf}. */
  readonly fingers: readonly (PlacedFinger | undefined)[];
  /** The fret at which the first finger is or would be; 1 is first position. Undefined with no finger down. */
  readonly fret?: number;
  /** The same in millimetres from the nut. */
  readonly along: Millimetres;
  /** Where each unused finger hovers: its own fret from the hand's place, over the middle of the others. */
  readonly hover: readonly Tip[];
}

/** All fingers, the thumb (which reaches over the neck beside the first finger) last. */
export const FINGERS: readonly Finger[] = [1, 2, 3, 4, 'T'];

/** Where the finger stands in {@link FINGERS}. */
export const slotOf = (finger: Finger): number => (finger === 'T' ? 4 : finger - 1);

/** The hand that holds a shape; with no finger down it waits at the nut. */
export function handOf(shape: Pick<Shape, 'presses'>, neck: Neck): Hand {
  const down = shape.presses.map((press) => placed(press, neck));
  const fingers = FINGERS.map((finger) => down.find((f) => f.finger === finger));
  if (down.length === 0) return { fingers, along: 0, hover: [] };
  const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
  const fret = Math.max(1, mean(down.map((f) => f.fret - reachOf(f.finger))));
  const across = mean(down.map((f) => f.across));
  return {
    fingers,
    fret,
    along: fretDistance(fret + neck.capo, neck.scale),
    hover: FINGERS.map((finger) => ({ along: tipDistance(fret + reachOf(finger), neck), across })),
  };
}

/** Frets above the hand's place at which a finger stands by nature. */
const reachOf = (finger: Finger): number => (finger === 'T' ? 0 : finger - 1);

function placed(press: Press, neck: Neck): PlacedFinger {
  const along = tipDistance(press.fret, neck);
  const across = (stringOffset(press.from, along, neck) + stringOffset(press.to, along, neck)) / 2;
  return { ...press, barre: isBarre(press), along, across };
}
