// The places of a bar that typed signs stand for: its beats, or the units of a pickup.
import { type Rational, add, compare, div, rational, sub, toNumber } from '../base/rational.ts';
import { MAX_SPLIT } from '../model/limits.ts';
import { beatsOf } from './meter.ts';
import type { ChordAt, Meter } from '../model/chart.ts';

/** Quarter notes from the start of the bar. */
export interface Slot {
  readonly at: Rational;
  readonly length: Rational;
}

/** Beats of a full bar, or the units of a pickup that lasts `pickup` quarter notes. */
export const slotsOf = (meter: Meter, pickup?: Rational): readonly Slot[] =>
  pickup ? pickupSlots(pickup) : beatsOf(meter);

/** Every eighth (or sixteenth) of a meter that is counted in groups of them. */
export const unitSlots = (meter: Meter): readonly Slot[] =>
  evenSlots(meter.numerator, rational(4, meter.unit));

/** A pickup as a fraction of a whole note, in quarters or shorter: 2 quarter notes are 2/4. */
export function pickupFraction(pickup: Rational): { numerator: number; unit: number } {
  const whole = div(pickup, rational(4));
  const unit = Math.max(4, whole.d);
  return { numerator: (whole.n * unit) / whole.d, unit };
}

function pickupSlots(pickup: Rational): readonly Slot[] {
  const { numerator, unit } = pickupFraction(pickup);
  return evenSlots(numerator, rational(4, unit));
}

/** So many slots of `length` quarter notes, one after the other from 0. */
export function evenSlots(count: number, length: Rational): readonly Slot[] {
  return Array.from({ length: count }, (_, i) => ({
    at: rational(length.n * i, length.d),
    length,
  }));
}

/** The chords that start inside a slot. */
export const chordsInSlot = (chords: readonly ChordAt[], slot: Slot): readonly ChordAt[] =>
  chords.filter(
    ({ at }) => compare(at, slot.at) >= 0 && compare(at, add(slot.at, slot.length)) < 0,
  );

/** Into how many equal parts a slot must be split so that all these chords stand on one: 1 to 24, else undefined. */
export function splitOf(chords: readonly ChordAt[], slot: Slot): number | undefined {
  let parts = 1;
  for (const { at } of chords) {
    const { d } = div(sub(at, slot.at), slot.length);
    parts = leastCommonMultiple(parts, d);
    if (parts > MAX_SPLIT) return undefined;
  }
  return parts;
}

/** Which of `parts` equal parts of the slot a chord stands on, from 0. */
export const partOfSlot = (chord: ChordAt, slot: Slot, parts: number): number =>
  Math.round(toNumber(div(sub(chord.at, slot.at), slot.length)) * parts);

/** @param a and b whole and above 0 */
export function leastCommonMultiple(a: number, b: number): number {
  let [x, y] = [a, b];
  while (y !== 0) [x, y] = [y, x % y];
  return (a / x) * b;
}
