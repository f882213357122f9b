// Counts what the weights of the hand model weigh, and adds weighed amounts up into the parts of a shape's ease.
import type { EaseParts } from './shape.ts';
import { FINGERING_EASE, FRETS_EASE } from './weights.ts';

type Weights = Readonly<Record<string, number>>;

/** One amount for each weight of a table, in the table's order: how many fingers, how many 100 mm, how often. */
export type Amounts = Float64Array;

/** A table of weights as a row of numbers, and where in such a row each of them stands. */
function asRow<Table extends Weights>(table: Table) {
  const names = Object.keys(table) as (keyof Table & string)[];
  const at = Object.fromEntries(names.map((name, place) => [name, place]));
  return {
    names,
    weights: Float64Array.from(Object.values(table)),
    at: at as Readonly<Record<keyof Table, number>>,
  };
}

export const FINGERING = asRow(FINGERING_EASE);
export const FRETS = asRow(FRETS_EASE);

/** Amounts times weights, added up. Both rows have the same length. */
export function weighed(amounts: Amounts, weights: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) sum += amounts[i]! * weights[i]!;
  return sum;
}

type FingeringPart = 'fingers' | 'barre' | 'stretch';
type FretsPart = Exclude<keyof EaseParts, FingeringPart>;

/** To which part of a shape's ease each weight counts. */
const FINGERING_PART: Readonly<Record<keyof typeof FINGERING_EASE, FingeringPart>> = {
  finger: 'fingers',
  fourthFinger: 'fingers',
  barre: 'barre',
  barreString: 'barre',
  barreAtNut: 'barre',
  barreByOther: 'barre',
  barreClearing: 'barre',
  besideBarre: 'stretch',
  stretch: 'stretch',
  skippedFinger: 'stretch',
  crossed: 'stretch',
  crowding: 'stretch',
};
const FRETS_PART: Readonly<Record<keyof typeof FRETS_EASE, FretsPart>> = {
  span: 'span',
  mutedLow: 'muting',
  mutedHigh: 'muting',
  mutedInner: 'muting',
  mutedByTip: 'muting',
  fourStrings: 'thin',
  threeStrings: 'thin',
  position: 'position',
  openHighUp: 'position',
  omittedFifth: 'omitted',
  omittedOther: 'omitted',
  unison: 'doubled',
  doubledColour: 'doubled',
  lowThird: 'muddy',
  lowSecond: 'muddy',
  fifthInBass: 'bass',
};

/** Both rows weighed, part by part. */
export function easeParts(fingering: Amounts, frets: Amounts): EaseParts {
  const parts = { ...NOTHING };
  for (const [i, name] of FINGERING.names.entries()) {
    parts[FINGERING_PART[name]] += fingering[i]! * FINGERING.weights[i]!;
  }
  for (const [i, name] of FRETS.names.entries()) {
    parts[FRETS_PART[name]] += frets[i]! * FRETS.weights[i]!;
  }
  return parts;
}

const NOTHING: EaseParts = {
  fingers: 0,
  barre: 0,
  stretch: 0,
  span: 0,
  muting: 0,
  thin: 0,
  position: 0,
  omitted: 0,
  doubled: 0,
  muddy: 0,
  bass: 0,
};
