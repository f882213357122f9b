// Adds up what makes a shape hard: what its frets alone cost, and what its easiest fingering adds.
import type { Frets, Tuning } from '../chart/model.ts';
import type { SoundingChord } from '../harmony/chord.ts';
import type { Fret, Midi, PitchClass } from '../units.ts';
import { type Fingering, easiestFingering } from './fingering.ts';
import { type Neck, tipTable } from './geometry.ts';
import { type EaseParts, type Shape, lowestFret, pitchesOf } from './shape.ts';
import { EASE, REACH } from './weights.ts';

/** What can be said of frets before fingers are put on them. */
export interface Sounding {
  readonly frets: Frets;
  readonly pitches: readonly (Midi | null)[];
  readonly parts: Omit<EaseParts, 'fingers' | 'barre' | 'stretch'>;
  /** Sum of those parts and of the fewest fingers that could do: the shape's ease is at least this. */
  readonly atLeast: number;
}

/** Undefined when no finger is near enough to damp an inner string. */
export function soundingOf(
  frets: Frets,
  chord: SoundingChord,
  tuning: Tuning,
  neck: Neck,
): Sounding | undefined {
  const muting = mutingCost(frets);
  if (muting === undefined) return undefined;
  const pitches = pitchesOf(frets, tuning.strings, neck.capo);
  const position = positionCost(frets, neck);
  const span = spanCost(frets, neck);
  const omitted = omissionCost(chord, pitches);
  const unison = unisonCost(pitches);
  const { muddy, bass } = lowCosts(chord, pitches);
  const fixed = muting + span + position + omitted + unison + muddy + bass;
  return {
    frets,
    pitches,
    parts: { span, muting, position, omitted, unison, muddy, bass },
    atLeast: fixed + fewestFingers(frets) * EASE.finger,
  };
}

function spanCost(frets: Frets, neck: Neck): number {
  const low = lowestFret(frets);
  let high = low;
  for (const fret of frets) if (fret !== null && fret > high) high = fret;
  const tips = tipTable(neck);
  return (Math.max(0, tips[high]! - tips[low]! - REACH.easySpan) / 10) * EASE.span;
}

/** A finger stops one fret only, so there are at least as many as different stopped frets. */
function fewestFingers(frets: Frets): number {
  let levels = 0;
  for (let i = 0; i < frets.length; i++) {
    const fret = frets[i];
    if (fret && frets.indexOf(fret) === i) levels++;
  }
  return levels;
}

/** The shape with its easiest fingering; undefined when no hand can hold it. */
export function easiestShape(
  sounding: Sounding,
  chord: SoundingChord,
  neck: Neck,
): Shape | undefined {
  const fingering = easiestFingering(sounding.frets, neck);
  return fingering && shapeWith(sounding, fingering, chord);
}

export function shapeWith(sounding: Sounding, fingering: Fingering, chord: SoundingChord): Shape {
  const { fingers, barre, stretch } = fingering;
  const parts = { fingers, barre, stretch, ...sounding.parts };
  return {
    frets: sounding.frets,
    presses: fingering.presses,
    pitches: sounding.pitches,
    omitted: lacking(chord, sounding.pitches).map((tone) => tone.label),
    parts,
    ease: Object.values(parts).reduce((total, part) => total + part, 0),
    also: [],
  };
}

const isLacking = (pc: PitchClass, pitches: readonly (Midi | null)[]): boolean => {
  for (const midi of pitches) if (midi !== null && midi % 12 === pc) return false;
  return true;
};

const lacking = (chord: SoundingChord, pitches: readonly (Midi | null)[]) =>
  chord.tones.filter((tone) => isLacking(tone.pitchClass, pitches));

function omissionCost(chord: SoundingChord, pitches: readonly (Midi | null)[]): number {
  let cost = 0;
  for (const tone of chord.tones) {
    if (!isLacking(tone.pitchClass, pitches)) continue;
    cost += tone.label === '5' ? EASE.omittedFifth : EASE.omittedOther;
  }
  return cost;
}

function unisonCost(pitches: readonly (Midi | null)[]): number {
  let doubled = 0;
  for (let i = 1; i < pitches.length; i++) {
    if (pitches[i] !== null && pitches.indexOf(pitches[i]!) !== i) doubled++;
  }
  return doubled * EASE.unison;
}

/** C3: below it close intervals blur (the arranger's low-interval limit; common practice, no source). */
const C3: Midi = 48;

/** What the two lowest notes cost: how close they lie, and the lower one not being the bass. */
function lowCosts(
  chord: SoundingChord,
  pitches: readonly (Midi | null)[],
): { readonly muddy: number; readonly bass: number } {
  const first = pitches.findIndex((midi) => midi !== null);
  const low = pitches[first]!;
  const next = pitches.find((midi, i) => i > first && midi !== null);
  const bass = low % 12 === chord.bassPc ? 0 : EASE.fifthInBass;
  return { muddy: typeof next === 'number' && low < C3 ? muddiness(next - low) : 0, bass };
}

/** By semitones: seconds, thirds, and wider. */
const muddiness = (interval: number): number =>
  interval < 3 ? EASE.lowSecond : interval < 5 ? EASE.lowThird : 0;

/** From this fret up, open strings stand out against the stopped ones. */
const HIGH: Fret = 4;

function positionCost(frets: Frets, neck: Neck): number {
  const low = lowestFret(frets);
  if (low === 0) return 0;
  const tips = tipTable(neck);
  const fromNut = tips[low]! - tips[1]!;
  const ringing = low >= HIGH ? frets.filter((fret) => fret === 0).length : 0;
  return (fromNut / 100) * EASE.position + ringing * EASE.openHighUp;
}

/**
 * Cost of keeping strings silent, or undefined when no finger is near enough to damp an inner one:
 * the pad of a finger on the next lower-sounding string leans against it, or else the tip of a finger
 * on the next higher one touches it (common practice, no source).
 */
export function mutingCost(frets: Frets): number | undefined {
  let first = 0;
  while (frets[first] === null) first++;
  let last = frets.length - 1;
  while (frets[last] === null) last--;
  let inner = 0;
  let cost = first * EASE.mutedLow + (5 - last) * EASE.mutedHigh;
  for (let i = first + 1; i < last; i++) {
    if (frets[i] !== null) continue;
    inner++;
    cost += EASE.mutedInner;
    if (frets[i - 1]) continue;
    if (!frets[i + 1]) return undefined;
    cost += EASE.mutedByTip;
  }
  return last - first + 1 - inner < 4 ? cost + EASE.threeStrings : cost;
}
