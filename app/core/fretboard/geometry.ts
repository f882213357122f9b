// The neck in millimetres: where frets lie, where strings run, where a fingertip presses.
import type { Fret, Millimetres, StringNo } from '../base/units.ts';

export interface Neck {
  /** Nut to bridge, 300–900 mm. */
  readonly scale: Millimetres;
  /** From the outermost string to the other outermost one, at the nut and at the bridge. */
  readonly spreadAtNut: Millimetres;
  readonly spreadAtBridge: Millimetres;
  /** Where the strings start: fret of the capo, 0 without. Frets of shapes are counted from it. */
  readonly capo: Fret;
}

/**
 * Steel-string guitars in common use, no source: 648 mm (25.5 in) scale; strings 35.5 mm apart at
 * the nut and 53 mm at the bridge, outer to outer.
 */
export const USUAL_NECK: Neck = { scale: 648, spreadAtNut: 35.5, spreadAtBridge: 53, capo: 0 };

const STRING_GAPS = 5;
/** The fingertip lies behind its wire, at this share of the space between two wires. Ours. */
const TIP_IN_SPACE = 0.7;

/**
 * Nut to fret wire: L(1 − 2^(−n/12)), equal temperament; fret 12 halves the string.
 * @throws RangeError for a scale outside 300–900 mm or a fret that is negative.
 */
export function fretDistance(fret: Fret, scale: Millimetres = USUAL_NECK.scale): Millimetres {
  if (!(scale >= 300 && scale <= 900)) {
    throw new RangeError(`fretDistance: scale ${scale} mm is outside 300–900 mm`);
  }
  if (!(fret >= 0)) throw new RangeError(`fretDistance: fret ${fret} is below 0`);
  return scale * (1 - 2 ** (-fret / 12));
}

/** Nut to fingertip pressing at a fret counted from the capo. Fret 0 is the capo or nut itself. */
export function tipDistance(fret: Fret, neck: Neck): Millimetres {
  const wire = fretDistance(fret + neck.capo, neck.scale);
  if (fret <= 0) return wire;
  const wireBefore = fretDistance(fret + neck.capo - 1, neck.scale);
  return wireBefore + TIP_IN_SPACE * (wire - wireBefore);
}

const LAST_FRET: Fret = 36;
const tables = new WeakMap<Neck, Float64Array>();

/** {@link tipDistance} of frets 0–36, computed once per neck object; do not change it. */
export function tipTable(neck: Neck): Float64Array {
  const known = tables.get(neck);
  if (known) return known;
  const table = Float64Array.from({ length: LAST_FRET + 1 }, (_, fret) => tipDistance(fret, neck));
  tables.set(neck, table);
  return table;
}

/** Distance of a string from string 6 at a place along the neck; strings fan out towards the bridge. */
export function stringOffset(string: StringNo, along: Millimetres, neck: Neck): Millimetres {
  const spread = neck.spreadAtNut + ((neck.spreadAtBridge - neck.spreadAtNut) * along) / neck.scale;
  return ((6 - string) * spread) / STRING_GAPS;
}

/** Where a fingertip presses: millimetres from the nut, and from string 6 towards string 1. */
export interface Tip {
  readonly along: Millimetres;
  readonly across: Millimetres;
}
