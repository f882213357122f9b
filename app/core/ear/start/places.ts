// All places at which a pass may begin in a recording, and all paces at which it may have been played, best first.
import type { Seconds } from '../../base/units.ts';
import { beginningOf, type Due, heldBy, stretched } from './due.ts';
import { type Heard, worthOf } from './fit.ts';

/** Places are tried so near to each other; those nearer than the second number are one. */
const STEP: Seconds = 0.02;
const APART: Seconds = 0.09;
/** Players who hear no click are up to 3 % faster or slower; any other pace than the written one costs, in nats. */
const PACES = [1, 0.97, 0.98, 0.99, 1.01, 1.02, 1.03] as const;
const paceCosts = (pace: number): number => (pace === 1 ? 0 : 1.5 + 100 * Math.abs(pace - 1));
/** At least this share of the pass must be in the recording. */
const LEAST_HELD = 0.3;
/** Of a long pass the beginning is tried everywhere, and the whole at so many places. */
const SCOUT: Seconds = 40;
const KEPT = { scout: 60, whole: 12 } as const;

/** Where the pass may begin. */
export interface StartPlace {
  readonly start: Seconds;
  /** It was played so many times as long as written. */
  readonly pace: number;
  /** In nats: how well the whole pass fits, up to what all places share. */
  readonly worth: number;
}

/** The best places of a recording, best first; none where less than {@link LEAST_HELD} of the pass can be in it. */
export function placesOf(heard: Heard, due: Due): StartPlace[] {
  const tried = PACES.flatMap((pace): StartPlace[] => {
    const scout = beginningOf(stretched(due, pace), SCOUT);
    const whole = stretched(due, pace);
    const places: StartPlace[] = [];
    for (let start = -whole.end; start < heard.length; start += STEP) {
      if (heldBy(heard.length, whole, start) < LEAST_HELD) continue;
      places.push({ start, pace, worth: worthOf(heard, scout, start) - paceCosts(pace) });
    }
    return places;
  });
  const short = due.end <= SCOUT;
  const kept = distinct(tried, short ? KEPT.whole : KEPT.scout);
  if (short) return kept;
  const whole = kept.map((place) => ({
    ...place,
    worth: worthOf(heard, stretched(due, place.pace), place.start) - paceCosts(place.pace),
  }));
  return distinct(whole, KEPT.whole);
}

function distinct(places: readonly StartPlace[], most: number): StartPlace[] {
  const kept: StartPlace[] = [];
  for (const place of places.toSorted((a, b) => b.worth - a.worth)) {
    if (kept.every((other) => Math.abs(other.start - place.start) >= APART)) kept.push(place);
    if (kept.length === most) break;
  }
  return kept;
}
