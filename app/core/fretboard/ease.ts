// Adds up what makes a shape hard: what its frets alone cost, and what its easiest fingering adds.
import type { Frets, Tuning } from '../chart/model.ts';
import type { SoundingChord } from '../harmony/chord.ts';
import type { Fret, Midi } from '../units.ts';
import { type Fingering, easiestFingering } from './fingering.ts';
import { type Neck, tipDistance } from './geometry.ts';
import { type EaseParts, type Shape, lowestFret, pitchesOf } from './shape.ts';
import { EASE } from './weights.ts';

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
  const parts = {
    muting,
    position: positionCost(frets, neck),
    omitted: omissionCost(chord, pitches),
    unison: unisonCost(pitches),
    muddy: muddyCost(pitches),
    bass: bassCost(chord, pitches),
  };
  const { position, omitted, unison, muddy, bass } = parts;
  const fixed = muting + position + omitted + unison + muddy + bass;
  return { frets, pitches, parts, atLeast: fixed + fewestFingers(frets) * EASE.finger };
}

/** A finger stops one fret only, so there are at least as many as different stopped frets. */
function fewestFingers(frets: Frets): number {
  let levels = 0;
  frets.forEach((fret, i) => {
    if (fret !== null && fret > 0 && frets.indexOf(fret) === i) levels++;
  });
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

const lacking = (chord: SoundingChord, pitches: readonly (Midi | null)[]) =>
  chord.tones.filter(
    (tone) => !pitches.some((midi) => midi !== null && midi % 12 === tone.pitchClass),
  );

const omissionCost = (chord: SoundingChord, pitches: readonly (Midi | null)[]): number =>
  lacking(chord, pitches).reduce(
    (sum, tone) => sum + (tone.label === '5' ? EASE.omittedFifth : EASE.omittedOther),
    0,
  );

function bassCost(chord: SoundingChord, pitches: readonly (Midi | null)[]): number {
  const lowest = pitches.find((midi) => midi !== null)!;
  return lowest % 12 === chord.bassPc ? 0 : EASE.fifthInBass;
}

function unisonCost(pitches: readonly (Midi | null)[]): number {
  const doubled = pitches.filter((midi, i) => midi !== null && pitches.indexOf(midi) !== i);
  return doubled.length * EASE.unison;
}

/** C3: below it close intervals blur (the arranger's low-interval limit; common practice, no source). */
const C3: Midi = 48;

function muddyCost(pitches: readonly (Midi | null)[]): number {
  const first = pitches.findIndex((midi) => midi !== null);
  const low = pitches[first]!;
  const next = pitches.find((midi, i) => i > first && midi !== null);
  if (next === undefined || next === null || low >= C3) return 0;
  if (next - low < 3) return EASE.lowSecond;
  return next - low < 5 ? EASE.lowThird : 0;
}

/** From this fret up, open strings stand out against the stopped ones. */
const HIGH: Fret = 4;

function positionCost(frets: Frets, neck: Neck): number {
  const low = lowestFret(frets);
  const ringing = low >= HIGH ? frets.filter((fret) => fret === 0).length : 0;
  const fromNut = low === 0 ? 0 : tipDistance(low, neck) - tipDistance(1, neck);
  return (fromNut / 100) * EASE.position + ringing * EASE.openHighUp;
}

/**
 * Cost of keeping strings silent, or undefined when no finger is near enough to damp an inner one:
 * the pad of a finger on the next lower-sounding string leans against it, or else the tip of a finger
 * on the next higher one touches it (common practice, no source).
 */
export function mutingCost(frets: Frets): number | undefined {
  const first = frets.findIndex((fret) => fret !== null);
  const last = frets.findLastIndex((fret) => fret !== null);
  let cost = first * EASE.mutedLow + (5 - last) * EASE.mutedHigh;
  if (frets.filter((fret) => fret !== null).length < 4) cost += EASE.threeStrings;
  for (let i = first + 1; i < last; i++) {
    if (frets[i] !== null) continue;
    if (isStopped(frets[i - 1])) cost += EASE.mutedInner;
    else if (isStopped(frets[i + 1])) cost += EASE.mutedInner + EASE.mutedByTip;
    else return undefined;
  }
  return cost;
}

const isStopped = (fret: Fret | null | undefined): boolean =>
  fret !== null && fret !== undefined && fret > 0;
