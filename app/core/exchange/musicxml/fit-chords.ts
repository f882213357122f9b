// Fits chords of a file from elsewhere to the places that a chart can name: equal parts of beats.
import { type Rational, add, compare, div, mul, rational, sub, toNumber } from '../../rational.ts';
import { barLength } from '../../chart/meter.ts';
import type { ChordAt, Meter } from '../../chart/model.ts';
import { type Slot, chordsInSlot, slotsOf, splitOf } from '../../chart/slots.ts';

/** Sixteenths and triplets both fall on twelfths of a quarter. */
const PARTS = 12;

/** Sorted, one chord to a moment (the last one written), all inside the bar. */
export function fitChords(
  chords: readonly ChordAt[],
  meter: Meter,
  pickup: Rational | undefined,
): { readonly chords: readonly ChordAt[]; readonly changed: boolean } {
  const length = pickup ?? barLength(meter);
  const inside = chords.filter(({ at }) => at.n >= 0 && compare(at, length) < 0);
  const fitted = slotsOf(meter, pickup).flatMap((slot) =>
    fitSlot(chordsInSlot(inside, slot), slot),
  );
  const changed = inside.length < chords.length || fitted.some((chord) => !inside.includes(chord));
  return { chords: oneToAMoment(fitted), changed };
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
