// Where in its bar each syllable is sung: those without a place of their own share what lies between the others.
import {
  type Rational,
  add,
  compare,
  div,
  equals,
  mul,
  rational,
  sub,
  ZERO,
} from '../../base/rational.ts';
import { MAX_SPLIT } from '../../model/limits.ts';
import type { BarWords, Syllable } from '../../model/chart.ts';

/** Quarter notes from the start of the bar, which lasts `length`; one for each syllable, in order. */
export function sungPlaces(words: BarWords, length: Rational): readonly Rational[] {
  const places: Rational[] = [];
  for (let from = 0; from < words.length;) {
    const start = words[from]!.at ?? ZERO;
    const next = words.findIndex(({ at }, i) => i > from && at !== undefined);
    const to = next < 0 ? words.length : next;
    const end = next < 0 ? length : words[next]!.at!;
    const room = compare(end, start) > 0 ? sub(end, start) : ZERO;
    for (let i = from; i < to; i++) {
      places.push(add(start, mul(room, rational(i - from, to - from))));
    }
    from = to;
  }
  return places;
}

/** Syllables at these places with as few places said as will do. `sayable` tells which can be written. */
export function placedWords(
  words: BarWords,
  places: readonly Rational[],
  length: Rational,
  sayable: (at: Rational) => boolean,
): BarWords {
  const said = words.map(({ at: _at, ...syllable }): Syllable => syllable);
  const endOf = (i: number): Rational => places[i] ?? length;
  for (let from = 0; from < words.length;) {
    const start = places[from]!;
    if ((from > 0 || start.n !== 0) && sayable(start)) said[from] = { ...said[from]!, at: start };
    let to = words.length;
    while (to > from + 1 && !areEven(places.slice(from, to), endOf(to))) to--;
    from = to;
  }
  return said;
}

/** Do these places part the time up to `end` into equal lengths? */
function areEven(places: readonly Rational[], end: Rational): boolean {
  const [start] = places;
  const step = div(sub(end, start!), rational(places.length));
  return places.every((at, i) => equals(at, add(start!, mul(step, rational(i)))));
}

/** A place that the notation writes: one of 24 parts of a beat at most. */
export const isSayable =
  (beats: readonly { readonly at: Rational; readonly length: Rational }[]) =>
  (at: Rational): boolean => {
    const beat = beats.findLast((slot) => compare(slot.at, at) <= 0);
    return beat !== undefined && div(sub(at, beat.at), beat.length).d <= MAX_SPLIT;
  };
