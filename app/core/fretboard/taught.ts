// Finds the shapes that are taught for a chord: the row of the table, then the movable families up the neck.
import { readChord } from '../harmony/read.ts';
import { STANDARD, stringPitch } from '../harmony/tunings.ts';
import type { Finger, Fret, PitchClass } from '../base/units.ts';
import type { Frets, Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import { easiestFingering } from './fingering.ts';
import { USUAL_NECK } from './geometry.ts';
import { type Press, pressesOf } from './shape.ts';
import {
  DROPPED_D,
  EASIER,
  FAMILIES,
  type Family,
  TAUGHT,
  type TaughtRow,
} from './taught-table.ts';

export interface TaughtShape {
  readonly frets: Frets;
  readonly presses: readonly Press[];
  /** Other fingerings of the same frets that are taught as well. */
  readonly others: readonly (readonly Press[])[];
  /** The open shape that a movable one comes from: "E minor". */
  readonly open?: string;
}

/** Highest fret for the root of a movable shape: above it another shape is nearer to hand (ours). */
const HIGHEST_ROOT: Fret = 8;

const fretsOf = (text: string): Frets => [...text].map((f) => (f === 'x' ? null : Number(f)));
const fingersOf = (text: string): readonly (Finger | null)[] =>
  [...text].map((f) => (f === '.' ? null : f === 'T' ? 'T' : (Number(f) as Finger)));

function shapeOfRow([, frets, fingers, others]: TaughtRow): TaughtShape {
  const own = fretsOf(frets);
  const held = (text: string) => pressesOf(own, fingersOf(text));
  return { frets: own, presses: held(fingers), others: others.map(held) };
}

/** A chord by what it sounds: F♯ and G♭ have one shape. */
const keyOf = ({ rootPc, quality, bassPc }: SoundingChord): string =>
  `${rootPc} ${quality} ${bassPc}`;

function tableOf(rows: readonly TaughtRow[]): ReadonlyMap<string, readonly TaughtShape[]> {
  const table = new Map<string, TaughtShape[]>();
  for (const row of rows) {
    const chord = readChord(row[0]);
    if (!chord.ok || chord.value.kind !== 'chord') continue;
    const key = keyOf(chord.value);
    table.set(key, [...(table.get(key) ?? []), shapeOfRow(row)]);
  }
  return table;
}

const STANDARD_ROWS = tableOf(TAUGHT);
const DROPPED_ROWS = tableOf(DROPPED_D.rows);
const EASIER_ROWS = tableOf(EASIER);

type Layout = 'standard' | 'dropped D' | 'other';

/** The table is for standard tuning; with string 6 down a tone its rows hold where that string is not played. */
function layoutOf({ strings }: Tuning): Layout {
  const off = strings.map((midi, i) => STANDARD.strings[i]! - midi);
  if (off.every((by) => by === 0)) return 'standard';
  return off[0] === 2 && off.slice(1).every((by) => by === 0) ? 'dropped D' : 'other';
}

/**
 * Taught shapes of a fingered chord, the first one first; empty where neither the table nor a family has it, or in
 * a tuning that they are not made for.
 */
export function taughtShapes(chord: SoundingChord, tuning: Tuning): readonly TaughtShape[] {
  const layout = layoutOf(tuning);
  if (layout === 'other') return [];
  const plain = chord.bassPc === chord.rootPc;
  const usual = [
    ...(STANDARD_ROWS.get(keyOf(chord)) ?? []),
    ...(plain ? movable(chord, FAMILIES, STANDARD) : []),
  ];
  if (layout === 'standard') {
    return distinct(usual);
  }
  return distinct([
    ...(DROPPED_ROWS.get(keyOf(chord)) ?? []),
    ...(plain ? movable(chord, DROPPED_D.families, tuning) : []),
    ...usual.flatMap((shape) => inDroppedD(shape, chord)),
  ]);
}

/**
 * A shape of standard tuning with string 6 tuned down: as it is where that string is silent; two frets higher on it
 * where the open shapes allow; else the four high strings, where the root lies lowest on them.
 */
function inDroppedD(
  { frets, presses, others, open }: TaughtShape,
  chord: SoundingChord,
): TaughtShape[] {
  const low = frets[0];
  if (low === null || low === undefined) return [{ frets, presses, others, ...(open && { open }) }];
  const higher = [low + 2, ...frets.slice(1)];
  const way = low <= 2 && frets.includes(0) ? easiestFingering(higher, USUAL_NECK) : undefined;
  if (way) return [{ frets: higher, presses: way.presses, others: [] }];
  const four = [null, null, ...frets.slice(2)];
  const root = four[2];
  if (typeof root !== 'number' || stringPitch(STANDARD.strings, 4, root) % 12 !== chord.rootPc)
    return [];
  const held = easiestFingering(four, USUAL_NECK);
  return held ? [{ frets: four, presses: held.presses, others: [] }] : [];
}

/** A shape of the same chord without a whole barre, where one is taught to beginners. */
export const easierShape = (chord: SoundingChord, tuning: Tuning): TaughtShape | undefined =>
  layoutOf(tuning) === 'other' ? undefined : EASIER_ROWS.get(keyOf(chord))?.[0];

/** The families of a quality on this root, nearest to the nut first. */
function movable(chord: SoundingChord, families: readonly Family[], tuning: Tuning): TaughtShape[] {
  return families
    .filter(({ quality }) => quality === chord.quality)
    .flatMap((family) => {
      const root = rootFret(chord.rootPc, family, tuning);
      return root === undefined ? [] : [{ root, shape: moved(family, root - family.root.fret) }];
    })
    .sort((a, b) => a.root - b.root)
    .map(({ shape }) => shape);
}

/** Where the family's root string has this note, with the whole shape above the nut. */
function rootFret(
  rootPc: PitchClass,
  { root, frets }: Family,
  { strings }: Tuning,
): Fret | undefined {
  const lowest = Math.min(...fretsOf(frets).flatMap((fret) => fret ?? []));
  for (let fret = root.fret - lowest + 1; fret <= HIGHEST_ROOT; fret++) {
    if (stringPitch(strings, root.string, fret) % 12 === rootPc) return fret;
  }
  return undefined;
}

function moved(family: Family, by: number): TaughtShape {
  const frets = fretsOf(family.frets).map((fret) => (fret === null ? null : fret + by));
  const held = (text: string) => pressesOf(frets, fingersOf(text));
  return {
    frets,
    presses: held(family.fingers),
    others: (family.others ?? []).map(held),
    ...(family.open && { open: family.open }),
  };
}

/** The first of equal frets. */
const distinct = (shapes: readonly TaughtShape[]): readonly TaughtShape[] =>
  shapes.filter(
    (shape, i) => shapes.findIndex((other) => other.frets.join() === shape.frets.join()) === i,
  );
