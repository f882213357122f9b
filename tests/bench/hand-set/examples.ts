// What the fit learns from: for each chord of chords-db all that a hand could hold, and what is listed first.
import type { Frets } from '../../../app/core/model/chart.ts';
import type { Amounts } from '../../../app/core/fretboard/amounts.ts';
import { fretsAmounts } from '../../../app/core/fretboard/ease.ts';
import { fingeringsOf } from '../../../app/core/fretboard/fingering.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { isAlike } from '../../../app/core/fretboard/grips.ts';
import { soundingsFor } from '../../../app/core/fretboard/search.ts';
import { fingersOf } from '../../../app/core/fretboard/shape.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import type { PitchClass } from '../../../app/core/base/units.ts';
import { COMMON_QUALITIES, POSITIONS, type Position } from '../../reference/chords-db.ts';

/** One way to sound a chord. */
export interface Voicing {
  readonly frets: Frets;
  readonly amounts: Amounts;
  /** Amounts of each fingering that could be the easiest. */
  readonly ways: readonly Amounts[];
  readonly onBass: boolean;
  /** The same grip as the first position of the database. */
  readonly like: boolean;
}

export interface Example {
  readonly symbol: string;
  readonly root: PitchClass;
  /** Of one of the 11 qualities by which agreement is measured. */
  readonly common: boolean;
  readonly voicings: readonly Voicing[];
  /** Index of the database's first position; the root, or another bass of ours, need not be lowest in it. */
  readonly first: number;
  /** The same, or what is left of it when it has the fifth below its root. */
  readonly lead: number;
}

/** The ways to hold one position of the database, and which of them it prints. */
export interface PrintedFingering {
  readonly ways: readonly Amounts[];
  readonly printed: number;
}

/** Chords whose first position we can sound too: its notes are the chord's, and a hand can hold and damp it. */
export const examples = (): readonly Example[] =>
  POSITIONS.filter((position) => position.index === 0).flatMap(exampleOf);

function exampleOf({ symbol, chord, frets, suffix }: Position): Example[] {
  const voicings = soundingsFor(chord, STANDARD).flatMap((sounding): Voicing[] => {
    const ways = waysToHold(sounding.frets).map((fingering) => fingering.amounts);
    if (ways.length === 0) return [];
    const like = isAlike(sounding.frets, frets);
    const { onBass } = sounding;
    const amounts = fretsAmounts(sounding, chord, USUAL_NECK);
    return [
      {
        frets: sounding.frets,
        amounts,
        ways: withoutHarder(ways),
        onBass,
        like,
      },
    ];
  });
  const first = voicings.findIndex((voicing) => voicing.frets.join() === frets.join());
  const lead = first < 0 ? -1 : leadOf(voicings, first);
  if (lead < 0) return [];
  const common = COMMON_QUALITIES.includes(suffix);
  return [{ symbol, root: chord.rootPc, common, voicings, first, lead }];
}

/** −1 when the bass is not in it at all. */
function leadOf(voicings: readonly Voicing[], first: number): number {
  const { frets, onBass } = voicings[first]!;
  if (onBass) return first;
  return voicings.findIndex(
    (voicing) =>
      voicing.onBass &&
      voicing.frets.every((fret, i) => (fret === null ? isBelow(i, voicing) : fret === frets[i])),
  );
}

const isBelow = (index: number, { frets }: Voicing): boolean =>
  frets.slice(0, index).every((fret) => fret === null);

/** All positions whose printed fingering is one that we think a hand can hold, and not the only one. */
export const printedFingerings = (): readonly PrintedFingering[] =>
  POSITIONS.flatMap(({ frets, fingers }) => {
    const fingerings = waysToHold(frets);
    const printed = fingerings.findIndex(
      ({ presses }) => fingersOf({ frets, presses }).join() === fingers.join(),
    );
    if (printed < 0 || fingerings.length < 2) return [];
    return [{ ways: fingerings.map((fingering) => fingering.amounts), printed }];
  });

const waysToHold = (frets: Frets) => fingeringsOf(frets, USUAL_NECK);

/** Those that could be the easiest, whatever the weights. */
const withoutHarder = (ways: readonly Amounts[]): Amounts[] =>
  ways.filter((way, i) => !ways.some((other, j) => isNeverHarder(other, j, way, i)));

/** As long as no weight is negative; of two alike the earlier one stays. */
const isNeverHarder = (a: Amounts, i: number, b: Amounts, j: number): boolean =>
  i !== j && a.every((v, k) => v <= b[k]!) && (i < j || a.some((v, k) => v < b[k]!));
