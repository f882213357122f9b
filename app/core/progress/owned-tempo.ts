// Owned tempo: where the log says a pass is clean four times in five, with what is not known about it.
import type { BeatUnit, Bpm, IsoDate, Share } from '../base/units.ts';
import type { LevelPass } from '../model/pass.ts';
import { daysBetween } from '../log/days.ts';
import { levelQuantile } from './level-shares.ts';
import { COARSE, FINE, leftAlone, type Reading, readLevel } from './level.ts';
import { type Evidence, type Part, type Seen, seenOf } from './outcomes.ts';

export type { Evidence } from './outcomes.ts';

export type OwnedTempo =
  /** The data support a number; the interval holds it nine times in ten by simulation (`npm run bench -- --only honest`). */
  | {
      readonly kind: 'number';
      readonly bpm: Bpm;
      readonly low: Bpm;
      readonly high: Bpm;
      readonly evidence: Evidence;
    }
  /** Owned nineteen times in twenty, by the same simulation; how much more was not tried enough to say. */
  | { readonly kind: 'at-least'; readonly bpm: Bpm; readonly evidence: Evidence }
  /** Not owned, nineteen times in twenty: the slowest tried. */
  | { readonly kind: 'below'; readonly bpm: Bpm; readonly evidence: Evidence }
  | { readonly kind: 'not-enough'; readonly evidence: Evidence };

/** What would make the figure surer. */
export type Surer =
  | { readonly kind: 'more-passes'; readonly passes: number }
  /** Nothing, or hardly anything, has broken lately: play above this tempo until something does. */
  | { readonly kind: 'climb'; readonly above: Bpm; readonly passes: number }
  | { readonly kind: 'slower'; readonly than: Bpm; readonly passes: number }
  /** One day's form is in it: another day says more than more passes today. */
  | { readonly kind: 'another-day' }
  | { readonly kind: 'near'; readonly bpm: Bpm; readonly passes: number };

/** Fewer judged passes than this give no figure at all; a number needs twice as many. Our choice. */
const LEAST_PASSES = 4;
/** A number is shown only when its interval is narrower than this ratio of fast end to slow end. */
const WIDEST_RATIO = 1.3;
/** Missed passes lately that show where it breaks; with fewer, the level's upper end is a guess. */
const LEAST_MISSED = 3;
/** "At least" may lie this far under the slowest tempo tried, since a good day is no proof of every day. */
const NOT_FAR_BELOW = 0.9;
/** With a larger share of missed passes nothing is called owned that is not known as a number. */
const MOST_MISSED = 0.4;
/** Chance beyond each end of the band. It is a little wide of 5 % on few days, where the priors err on the wide side (by simulation). */
const tail = (days: number): Share => 0.05 + 0.03 / days;
/**
 * Chance beyond a limit that is said alone. It is said where little broke, or hardly anything held: such players
 * were lucky more often than the rest, so that the model's own 5 % errs twice as often (by simulation).
 */
const BEYOND_ALONE: Share = 0.015;

/** Level and evidence of one unit: everything else is read from it. */
export interface UnitLevel {
  readonly seen: Seen;
  /** Absent while too few passes were judged. */
  readonly reading?: Reading;
}

/** As it was on the last practice day up to `asOf`. */
export function levelThen(
  passes: readonly LevelPass[],
  beat: BeatUnit,
  asOf: IsoDate,
  part: Part = 'warm',
): UnitLevel {
  const { seen, outcomes } = seenOf(passes, beat, asOf, part);
  if (seen.evidence.passes < LEAST_PASSES) return { seen };
  return { seen, reading: readLevel(outcomes, part === 'cold' ? COARSE : FINE) };
}

/** The same on a later day, up to which nothing more was played. */
export function levelOn(level: UnitLevel, asOf: IsoDate): UnitLevel {
  const { seen, reading } = level;
  if (!reading) return level;
  return { seen, reading: leftAlone(reading, daysBetween(seen.evidence.lastPlayed!, asOf) - 1) };
}

/**
 * What the passes say of the tempo on `asOf`. @param passes of one unit, settled, in time order. @param part 'cold':
 * first passes of a day alone
 */
export const levelOf = (
  passes: readonly LevelPass[],
  beat: BeatUnit,
  asOf: IsoDate,
  part: Part = 'warm',
): UnitLevel => levelOn(levelThen(passes, beat, asOf, part), asOf);

/**
 * From every judged pass but the cold ones, as known at the end of `asOf`.
 * @param passes of one unit, settled, in time order. @param beat the note value the answer counts.
 */
export const ownedTempo = (
  passes: readonly LevelPass[],
  beat: BeatUnit,
  asOf: IsoDate,
): OwnedTempo => ownedFrom(levelOf(passes, beat, asOf));

/** The same from cold first passes of a day alone: what was still there the next day. */
export const nextDayTempo = (
  passes: readonly LevelPass[],
  beat: BeatUnit,
  asOf: IsoDate,
): OwnedTempo => ownedFrom(levelOf(passes, beat, asOf, 'cold'));

/** The tempo in beats per minute with its band, or as much as can be said of it. */
export function ownedFrom({ seen, reading }: UnitLevel): OwnedTempo {
  const { evidence, slowest, fastest } = seen;
  if (!reading) return { kind: 'not-enough', evidence };
  const { beliefs } = reading;
  const beyond = tail(seen.missedByDay.length);
  const low = 2 ** levelQuantile(beliefs, beyond);
  const high = 2 ** levelQuantile(beliefs, 1 - beyond);
  const known = evidence.passes >= 2 * LEAST_PASSES && seen.missedLately >= LEAST_MISSED;
  if (known && high / low <= WIDEST_RATIO) {
    return { kind: 'number', bpm: 2 ** levelQuantile(beliefs, 0.5), low, high, evidence };
  }
  const most = 2 ** levelQuantile(beliefs, 1 - BEYOND_ALONE);
  if (most < slowest) return { kind: 'below', bpm: slowest, evidence };
  const mostlyClean = seen.missed <= MOST_MISSED * evidence.passes;
  if (mostlyClean && low >= NOT_FAR_BELOW * slowest) {
    const least = 2 ** levelQuantile(beliefs, BEYOND_ALONE);
    return { kind: 'at-least', bpm: Math.min(least, fastest), evidence };
  }
  return { kind: 'not-enough', evidence };
}

/** Passes that are asked for at a time: a few, so that one sitting can do it. */
const A_FEW = 4;
/** From this many practice days on the form of one of them matters little. */
const FEW_DAYS = 3;

/** What would make the answer surer, or narrower. */
export function surerBy(owned: OwnedTempo, { seen }: UnitLevel): Surer {
  const { evidence, fastest, slowest, missedLately } = seen;
  const lacking = 2 * LEAST_PASSES - evidence.passes;
  if (lacking > 0) return { kind: 'more-passes', passes: lacking };
  if (owned.kind === 'below') return { kind: 'slower', than: slowest, passes: A_FEW };
  if (missedLately < LEAST_MISSED) {
    const above = owned.kind === 'at-least' ? owned.bpm : fastest;
    return { kind: 'climb', above, passes: A_FEW };
  }
  if (seen.missedByDay.length < FEW_DAYS) return { kind: 'another-day' };
  const bpm = owned.kind === 'not-enough' ? (slowest + fastest) / 2 : owned.bpm;
  return { kind: 'near', bpm, passes: 2 * A_FEW };
}
