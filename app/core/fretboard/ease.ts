// Adds up what makes a shape hard: what its frets alone cost, and what its easiest fingering adds.
import type { Frets, Tuning } from '../model/chart.ts';
import type { ChordTone, SoundingChord } from '../model/chord.ts';
import type { Fret, Midi, PitchClass } from '../base/units.ts';
import { namedStrings } from '../harmony/tunings.ts';
import { type Amounts, FRETS, easeParts, weighed } from './amounts.ts';
import { type Fingering, easiestFingering, leastCost } from './fingering.ts';
import { type Neck, tipTable } from './geometry.ts';
import { liftOf, pitchesOf } from './capo.ts';
import { type Shape, lowestFret } from './shape.ts';
import { REACH } from './weights.ts';

/** What can be said of frets before fingers are put on them. */
export interface UnfingeredShape {
  readonly frets: Frets;
  /** Fingered: as without a capo, so that the same shapes lead wherever it sits. */
  readonly pitches: readonly (Midi | null)[];
  /** Semitones by which it sounds above these pitches. */
  readonly lift: number;
  /** The root, or a slash bass, lies lowest; else the fifth does. */
  readonly onBass: boolean;
  /** What the frets cost by themselves. */
  readonly cost: number;
  /** With fingers, wherever on the neck: the shape's ease is at least this. */
  readonly atLeast: number;
}

const { at } = FRETS;
/** One row serves all frets that are only compared. */
const scratch: Amounts = new Float64Array(FRETS.weights.length);

/** Undefined when no finger is near enough to damp an inner string, or four fingers are too few. */
export function unfingeredShape(
  frets: Frets,
  chord: SoundingChord,
  tuning: Tuning,
  neck: Neck,
): UnfingeredShape | undefined {
  const fingers = leastCost(frets);
  if (fingers === Infinity || !canDamp(frets)) return undefined;
  const pitches = pitchesOf(frets, namedStrings(tuning));
  countFrets(frets, pitches, chord, neck, scratch);
  const cost = weighed(scratch, FRETS.weights);
  const onBass = scratch[at.fifthInBass] === 0;
  const lift = liftOf({ capo: neck.capo, tuning });
  return { frets, pitches, lift, onBass, cost, atLeast: cost + fingers };
}

/** Fills a row of amounts, in the order of `FRETS`. */
function countFrets(
  frets: Frets,
  pitches: readonly (Midi | null)[],
  chord: SoundingChord,
  neck: Neck,
  amounts: Amounts,
): void {
  amounts.fill(0);
  countStrings(frets, amounts);
  countNeck(frets, neck, amounts);
  countTones(chord, pitches, amounts);
  countBass(chord, pitches, amounts);
}

/** What there is to weigh in a sounding, in the order of `FRETS`. */
export function fretsAmounts(
  { frets, pitches }: UnfingeredShape,
  chord: SoundingChord,
  neck: Neck,
): Amounts {
  const amounts = new Float64Array(FRETS.weights.length);
  countFrets(frets, pitches, chord, neck, amounts);
  return amounts;
}

/** The shape with its easiest fingering; undefined when no hand can hold it. */
export function easiestShape(
  sounding: UnfingeredShape,
  chord: SoundingChord,
  neck: Neck,
): Shape | undefined {
  const fingering = easiestFingering(sounding.frets, neck);
  return fingering && shapeWith(sounding, fingering, chord, neck);
}

/** The shape held with this fingering, and how easy that is. */
export function shapeWith(
  sounding: UnfingeredShape,
  fingering: Fingering,
  chord: SoundingChord,
  neck: Neck,
): Shape {
  const parts = easeParts(fingering.amounts, fretsAmounts(sounding, chord, neck));
  return {
    frets: sounding.frets,
    presses: fingering.presses,
    pitches: sounding.pitches.map((midi) => (midi === null ? null : midi + sounding.lift)),
    omitted: chord.tones
      .filter((tone) => timesHeard(tone.pitchClass, sounding.pitches) === 0)
      .map((tone) => tone.label),
    parts,
    ease: Object.values(parts).reduce((total, part) => total + part, 0),
    also: [],
  };
}

/**
 * Can the strings that must stay silent between sounding ones be damped? The pad of a finger on the next
 * lower-sounding string leans against it, or else the tip of a finger on the next higher one touches it
 * (common practice, no source).
 */
export function canDamp(frets: Frets): boolean {
  const [first, last] = outerStrings(frets);
  for (let i = first + 1; i < last; i++) {
    if (frets[i] === null && !frets[i - 1] && !frets[i + 1]) return false;
  }
  return true;
}

/** Indexes of the lowest and highest sounding string. */
function outerStrings(frets: Frets): readonly [number, number] {
  let first = 0;
  while (frets[first] === null) first++;
  let last = frets.length - 1;
  while (frets[last] === null) last--;
  return [first, last];
}

function countStrings(frets: Frets, amounts: Amounts): void {
  const [first, last] = outerStrings(frets);
  let inner = 0;
  let byTip = 0;
  for (let i = first + 1; i < last; i++) {
    if (frets[i] !== null) continue;
    inner++;
    if (!frets[i - 1]) byTip++;
  }
  const sounding = last - first + 1 - inner;
  amounts[at.mutedLow] = first;
  amounts[at.mutedHigh] = frets.length - 1 - last;
  amounts[at.mutedInner] = inner;
  amounts[at.mutedByTip] = byTip;
  amounts[at.fourStrings] = sounding < 5 ? 1 : 0;
  amounts[at.threeStrings] = sounding < 4 ? 1 : 0;
}

/** From this fret up, open strings stand out against the stopped ones. */
const HIGH: Fret = 4;

function countNeck(frets: Frets, neck: Neck, amounts: Amounts): void {
  const low = lowestFret(frets);
  if (low === 0) return;
  let high = low;
  let open = 0;
  for (const fret of frets) {
    if (fret === 0) open++;
    if (fret !== null && fret > high) high = fret;
  }
  const tips = tipTable(neck);
  amounts[at.span] = Math.max(0, tips[high]! - tips[low]! - REACH.easySpan) / 10;
  amounts[at.position] = (tips[low]! - tips[1]!) / 100;
  amounts[at.openHighUp] = low >= HIGH ? open : 0;
}

function countTones(
  chord: SoundingChord,
  pitches: readonly (Midi | null)[],
  amounts: Amounts,
): void {
  for (const tone of chord.tones) {
    const times = timesHeard(tone.pitchClass, pitches);
    if (times === 0) amounts[tone.label === '5' ? at.omittedFifth : at.omittedOther]! += 1;
    else if (isColour(tone)) amounts[at.doubledColour]! += times - 1;
  }
  for (let i = 1; i < pitches.length; i++) {
    const midi = pitches[i];
    if (typeof midi === 'number' && pitches.indexOf(midi) !== i) amounts[at.unison]! += 1;
  }
}

/** What a chord is doubled with by custom: its root, third and perfect fifth. */
const PLAIN = ['1', '♭3', '3', '5'];
const isColour = (tone: ChordTone): boolean => !PLAIN.includes(tone.label);

function timesHeard(pc: PitchClass, pitches: readonly (Midi | null)[]): number {
  let times = 0;
  for (const midi of pitches) if (midi !== null && midi % 12 === pc) times++;
  return times;
}

/** C3: below it close intervals blur (the arranger's low-interval limit; common practice, no source). */
const C3: Midi = 48;

/** How close the two lowest notes lie, and whether the lower one is not the bass. */
function countBass(
  chord: SoundingChord,
  pitches: readonly (Midi | null)[],
  amounts: Amounts,
): void {
  const first = pitches.findIndex((midi) => midi !== null);
  const low = pitches[first]!;
  const next = pitches.find((midi, i) => i > first && midi !== null);
  if (low % 12 !== chord.bassPc) amounts[at.fifthInBass] = 1;
  if (typeof next !== 'number' || low >= C3) return;
  if (next - low < 3) amounts[at.lowSecond] = 1;
  else if (next - low < 5) amounts[at.lowThird] = 1;
}
