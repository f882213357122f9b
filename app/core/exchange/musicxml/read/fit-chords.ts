// Fits chords of a file from elsewhere to the places that a chart can name: equal parts of beats.
import {
  type Rational,
  add,
  compare,
  div,
  mul,
  rational,
  sub,
  toNumber,
} from '../../../base/rational.ts';
import { barLength } from '../../../rhythm/meter.ts';
import type { ChordAt, Meter } from '../../../model/chart.ts';
import { type Slot, chordsInSlot, slotsOf, splitOf } from '../../../rhythm/slots.ts';

/** Sixteenths and triplets both fall on twelfths of a quarter. */
const PARTS = 12;

/** Sorted, one chord to a moment (the last one written), all inside the bar. */
export function fitChords(
  chords: readonly ChordAt[],
  meter: Meter,
  pickup: Rational | undefined,
): { readonly chords: readonly ChordAt[]; readonly changed: boolean } {
  const slots = slotsOf(meter, pickup);
  const inside = chords.map((chord) => intoBar(chord, slots, pickup ?? barLength(meter)));
  const fitted = slots.flatMap((slot) => fitSlot(chordsInSlot(inside, slot), slot));
  const changed = fitted.some((chord) => !chords.includes(chord));
  return { chords: oneToAMoment(fitted), changed };
}

/** A chord before or after its bar stands on the first or the last beat. */
function intoBar(chord: ChordAt, slots: readonly Slot[], length: Rational): ChordAt {
  if (chord.at.n < 0) return { ...chord, at: slots[0]!.at };
  return compare(chord.at, length) < 0 ? chord : { ...chord, at: slots.at(-1)!.at };
}

function fitSlot(chords: readonly ChordAt[], slot: Slot): readonly ChordAt[] {
  if (splitOf(chords, slot) !== undefined) return chords;
  return chords.map((chord) => {
    const share = toNumber(div(sub(chord.at, slot.at), slot.length));
    const part = Math.min(PARTS - 1, Math.round(share * PARTS));
    return { ...chord, at: add(slot.at, mul(slot.length, rational(part, PARTS))) };
  });
}

function oneToAMoment(chords: readonly ChordAt[]): readonly ChordAt[] {
  const byMoment = new Map(chords.map((chord) => [`${chord.at.n}/${chord.at.d}`, chord]));
  return [...byMoment.values()].toSorted((a, b) => compare(a.at, b.at));
}
