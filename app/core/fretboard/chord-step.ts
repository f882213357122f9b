// A chord on the way through a row of chords: what is asked of the hand, and when.
import type { Rational } from '../base/rational.ts';
import type { Seconds } from '../base/units.ts';
import type { Frets } from '../model/chart.ts';
import type { Chord } from '../model/chord.ts';

/** A chord of the unit in the order it is played. */
export interface ChordStep {
  readonly chord: Chord;
  /** The teacher's pin. */
  readonly pin?: Frets;
  /** The section it stands in: within one a chord keeps its grip. */
  readonly section?: string;
  /** Index into the unit's bars, and where in that bar the chord stands; absent for one held over. */
  readonly bar: number;
  readonly inBar?: Rational;
  /** From the unit's start. */
  readonly at: Seconds;
  /** Time for the hand to get here from the step before; absent for the first. */
  readonly gap?: Seconds;
}
