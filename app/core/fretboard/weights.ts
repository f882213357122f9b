// Every weight of the hand model in one table, with its source; nothing elsewhere adds a hidden one.
import type { Millimetres } from '../base/units.ts';

/**
 * What makes a shape hard to hold or poor to hear; {@link FRETS_EASE} is the other half. One unit is one
 * finger pressing one string in first position. No published scale of chord difficulty was found, so all
 * of these are ours: reasoned about the hand first, then fitted by `tests/bench/hand-set/fit-ease.ts`,
 * which holds them near the reasoned ones, to which position `@tombatossals/chords-db` lists first for
 * each of its chords and how it fingers all of them. They are rounded here; `barre`, `mutedInner` and `position`
 * were moved on by 0.03, 0.3 and 0.2, which costs no agreement and lets the barred B, B minor and G minor 7 lead.
 * What the fit reaches on chords that it did not see stands in README.md. The weights compare, they do not
 * measure.
 */
export const FINGERING_EASE = {
  /** Each finger that presses. The fourth is the weakest. */
  finger: 1,
  fourthFinger: 0.4,
  /** A barre presses as one finger, plus this for a barre at all … */
  barre: 0.8,
  /** … for each further string that it has to sound … */
  barreString: 0.13,
  /** … near the nut, where a string resists more: at fret 1, falling to 0 at fret 5 … */
  barreAtNut: 0.17,
  /** … and for one not made by the first finger. */
  barreByOther: 2.3,
  /** A barre that must not touch the next higher string, which sounds open or lower. */
  barreClearing: 1.6,
  /** A finger in the same fret space as another one's barre. */
  besideBarre: 0.61,
  /** Reach beyond comfort: the square of every 10 mm. */
  stretch: 0.38,
  /** A finger left unused between two that press in the same fret space. */
  skippedFinger: 0.5,
  /** In one fret space, the lower finger on the higher-sounding string. */
  crossed: 1.2,
  /** Two fingers side by side on neighbouring strings in one fret space. */
  crowding: 0.08,
} as const;

/** What the frets alone add, whichever fingers press them. Same unit and source as {@link FINGERING_EASE}. */
export const FRETS_EASE = {
  /** The whole hand opened beyond an easy span, per 10 mm; see `REACH.easySpan`. */
  span: 1.6,
  /** Strings that must not sound: below the bass, above the top, and between sounding ones. */
  mutedLow: 0.88,
  mutedHigh: 1.7,
  mutedInner: 5.3,
  /** An inner string damped by the tip of the finger on its higher neighbour, not by the pad of the lower. */
  mutedByTip: 0.91,
  /** Thin under a strum: fewer than five strings sound; fewer than four, on top. */
  fourStrings: 0.7,
  threeStrings: 3.4,
  /** Distance of the hand from the nut, per 100 mm. */
  position: 6.2,
  /** Open strings that ring on between notes stopped high on the neck, each, from fret 4 up. */
  openHighUp: 1.1,
  /** What the ear misses: the fifth; a tone under the top of a chord of five and more tones. */
  omittedFifth: 1.4,
  omittedOther: 1.7,
  /** The same pitch on two strings, each time: it beats with itself and adds nothing. */
  unison: 2.5,
  /** A tone other than root, third and fifth sounding once more: it stands out (common practice, no source). */
  doubledColour: 1.2,
  /** Muddy: the two lowest notes, below C3, lie less than a fourth apart; or less than a third. */
  lowThird: 1.2,
  lowSecond: 1.6,
  /** The fifth instead of the root in the bass, where that is allowed. */
  fifthInBass: 1.8,
} as const;

/**
 * What makes a change from one shape to the next hard. Same unit as {@link FINGERING_EASE}; ours. That cost grows
 * with the number of fingers that move, with the way they travel along and across the neck and with the
 * logarithm of distance over target size follows Sayegh 1989 (Computer Music Journal), Heijink &
 * Meulenbroek 2002 and Fitts 1954; their constants are not for chord changes, so only ratios mean anything.
 */
export const CHANGE = {
  /** A finger leaves its string without a new place. */
  lift: 0.3,
  /** A finger comes down that pressed nothing before. */
  land: 1,
  /** A finger leaves one place and comes down on another string. */
  move: 0.85,
  /** Fingers that come down at once have to find their places together: this much more, or less, each beside two. */
  atOnce: 0.22,
  /** A finger keeps its string and glides to another fret. */
  slide: 0.4,
  /** Per unit of log2(1 + distance / target) of a fingertip that lands or moves. */
  aim: 0.08,
  /** The width a fingertip has to hit: about the gap between two strings (see geometry.ts). */
  target: 7 satisfies Millimetres,
  /** With a finger that stays the others find their way from it: this share of their aiming is left. */
  anchored: 0.95,
  /** All fingers go the same way at once, as one shape: this share of moving and aiming is left. */
  together: 0.75,
  /** Making a barre over two strings, and for each string more: what beginners find hardest. */
  barreMade: 0.9,
  barreMadeString: 0.45,
  barreReleased: 1.45,
  /** The whole hand along the neck, per 100 mm. */
  shift: 0.6,
} as const;

/** How far the hand reaches. Ours: comfortable is one finger per fret in first position (34 mm + 32 mm + 31 mm). */
export const REACH = {
  /** Comfortable between neighbouring fingers 1–2, 2–3, 3–4. */
  comfort: [36, 32, 32] as readonly Millimetres[],
  /** A reach above this multiple of comfort is refused. */
  limit: 2.15,
  /** From the lowest to the highest finger a hand holds without opening: two fret spaces in first position. */
  easySpan: 68 satisfies Millimetres,
  /** Between any two fingers: no hand is asked for more. */
  widest: 130 satisfies Millimetres,
  /** Between the lowest and the highest stopped fret. */
  span: 105 satisfies Millimetres,
} as const;

/** When a path leaves the usual grip of a chord. Ours: far enough that everyday rows keep what is taught. */
export const PATH = {
  /** Other fingers for the same frets, each time: a change must become easier by this. */
  otherFingers: 1.8,
  /** Another grip of the same chord, each time. */
  otherGrip: 6.4,
  /** The hand leaps: for each fret of its way beyond this many, on top of what the change costs. */
  leapFrom: 4,
  leapFret: 0.9,
} as const;
