// Finds the shapes that are taught for a chord: the row of the table, then the movable families up the neck.
import { madeOnce, Remembered } from '../base/remembered.ts';
import { pitchClassOf } from '../harmony/notes.ts';
import { readChord } from '../harmony/read.ts';
import { unwrap } from '../base/result.ts';
import { STANDARD, readTuning, stringPitch } from '../harmony/tunings.ts';
import type { Finger, Fret, PitchClass } from '../base/units.ts';
import type { Frets, Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import { sounding } from './capo.ts';
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
import { OPEN_TUNINGS } from './taught-open.ts';

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

type Table = (chord: SoundingChord) => readonly TaughtShape[];

/** Rows are read when a chord of their root is first asked for: a chart has few of them. */
function tableOf(rows: readonly TaughtRow[]): Table {
  const byRoot = madeOnce(() => Map.groupBy(rows, ([symbol]) => rootOf(symbol)));
  const known = new Remembered<PitchClass, ReturnType<typeof readRows>>(12);
  return (chord) => {
    const { rootPc } = chord;
    const table = known.of(rootPc, () => readRows(byRoot().get(rootPc) ?? []));
    return table.get(keyOf(chord)) ?? [];
  };
}

const rootOf = (symbol: string): PitchClass => pitchClassOf(/^[A-G][#b]?/.exec(symbol)![0]);

function readRows(rows: readonly TaughtRow[]): ReadonlyMap<string, readonly TaughtShape[]> {
  const table = new Map<string, TaughtShape[]>();
  for (const row of rows) {
    const chord = readChord(row[0]);
    if (!chord.ok || chord.value.kind !== 'chord') continue;
    const key = keyOf(chord.value);
    table.set(key, [...(table.get(key) ?? []), shapeOfRow(row)]);
  }
  return table;
}

const standardRows = tableOf(TAUGHT);
const droppedRows = tableOf(DROPPED_D.rows);
const easier = tableOf(EASIER);

/** Where a tuning stands: string by string as far apart as one with tables of its own, `shift` semitones higher. */
interface Layout {
  readonly shift: number;
  readonly shapes: (chord: SoundingChord) => readonly TaughtShape[];
  /** Those for hands without a whole barre. */
  readonly easier: (chord: SoundingChord) => readonly TaughtShape[];
}

const none = () => [];
const layouts = new Remembered<string, Layout | undefined>(64);

const layoutOf = (tuning: Tuning): Layout | undefined =>
  layouts.of(tuning.strings.join(), () => freshLayout(tuning));

function freshLayout({ strings }: Tuning): Layout | undefined {
  const above = (other: Tuning): number | undefined => {
    const by = strings[0]! - other.strings[0]!;
    return strings.every((midi, i) => midi - other.strings[i]! === by) ? by : undefined;
  };
  // Tuned alike, charts keep the names of standard tuning; what is heard then is said elsewhere (capo.ts).
  if (above(STANDARD) !== undefined) return { shift: 0, shapes: inStandard, easier };
  const lowered = above(DROP_D);
  if (lowered !== undefined) return { shift: lowered, shapes: inDropD, easier: fourHigh };
  for (const tables of OPEN) {
    const shift = above(tables.tuning);
    if (shift !== undefined)
      return { shift, shapes: (chord) => shapesIn(tables, chord), easier: none };
  }
  return undefined;
}

const DROP_D = unwrap(readTuning('drop D'));
const OPEN = OPEN_TUNINGS.map(({ tuning, rows, families }) => ({
  tuning: unwrap(readTuning(tuning)),
  rows: tableOf(rows),
  families,
}));

/**
 * Taught shapes of a fingered chord, the first one first; empty where neither the table nor a family has it, or in
 * a tuning that has no table.
 */
export function taughtShapes(chord: SoundingChord, tuning: Tuning): readonly TaughtShape[] {
  const layout = layoutOf(tuning);
  return layout ? distinct(layout.shapes(sounding(chord, -layout.shift))) : [];
}

const isPlain = ({ bassPc, rootPc }: SoundingChord): boolean => bassPc === rootPc;

const inStandard = (chord: SoundingChord): TaughtShape[] =>
  shapesIn({ tuning: STANDARD, rows: standardRows, families: FAMILIES }, chord);

/** Where standard tuning stops string 6, four high strings come before what the model makes of it. */
function inDropD(chord: SoundingChord): TaughtShape[] {
  const usual = inStandard(chord);
  const stopped = usual[0]?.frets.includes(0) === false && usual[0].frets[0] !== null;
  return [
    ...shapesIn({ tuning: DROP_D, rows: droppedRows, families: DROPPED_D.families }, chord),
    ...(stopped ? fourHigh(chord) : []),
    ...usual.flatMap((shape) => inDroppedD(shape, chord)),
  ];
}

function shapesIn(
  { tuning, rows, families }: (typeof OPEN)[number],
  chord: SoundingChord,
): TaughtShape[] {
  const plain = isPlain(chord) ? movable(chord, families, tuning) : [];
  return [...rows(chord), ...plain];
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
export function easierShape(chord: SoundingChord, tuning: Tuning): TaughtShape | undefined {
  const layout = layoutOf(tuning);
  return layout?.easier(sounding(chord, -layout.shift))[0];
}

const fourHigh = (chord: SoundingChord): readonly TaughtShape[] =>
  easier(chord).filter(({ frets }) => frets[0] === null);

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
