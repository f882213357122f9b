// What a fingered shape is: frets, which finger presses what, pitches, and what makes it hard.
import type { Frets } from '../model/chart.ts';
import type { Finger, Fret, Midi, StringNo } from '../base/units.ts';

/** One finger pressing one string, or a barre: all strings `from` (lower sounding) to `to`. */
export interface Press {
  readonly finger: Finger;
  readonly fret: Fret;
  readonly from: StringNo;
  readonly to: StringNo;
}

/** Does the finger lie over more than one string? */
export const isBarre = (press: Press): boolean => press.from > press.to;

/** Costs of holding a shape, in units of one finger (see `weights.ts`). All are 0 or more. */
export interface EaseParts {
  readonly fingers: number;
  readonly barre: number;
  readonly stretch: number;
  /** The hand opened from its lowest to its highest finger, whichever fingers these are. */
  readonly span: number;
  readonly muting: number;
  readonly thin: number;
  readonly position: number;
  readonly omitted: number;
  readonly doubled: number;
  readonly muddy: number;
  readonly bass: number;
}

export interface Shape {
  readonly frets: Frets;
  /** From the lowest fret upward, low strings first. */
  readonly presses: readonly Press[];
  /** Per string from 6 to 1; null is muted. Capo included. */
  readonly pitches: readonly (Midi | null)[];
  /** Chord tones left out, as labels: ['5']. */
  readonly omitted: readonly string[];
  readonly parts: EaseParts;
  /** Sum of the parts; lower is easier. A comparison, not a measurement. */
  readonly ease: number;
  /** The same grip with strings left out or let sound, the fifth below the root among them; easiest first. */
  readonly also: readonly Frets[];
  /** Does a teacher show it so? Then `others` are other fingerings that are taught, and `open` where it comes from. */
  readonly taught?: {
    readonly others: readonly (readonly Press[])[];
    /** The open shape that a movable one repeats: "E minor". */
    readonly open?: string;
  };
}

/** The finger on each string from 6 to 1; null where the string is open or muted. */
export function fingersOf(shape: Pick<Shape, 'frets' | 'presses'>): readonly (Finger | null)[] {
  return shape.frets.map((fret, index) => {
    if (fret === null || fret === 0) return null;
    const string = 6 - index;
    const press = shape.presses.find((p) => p.fret === fret && p.from >= string && p.to <= string);
    return press?.finger ?? null;
  });
}

/** The fingers from the lowest string they press on: "3-2-1" for C, "1-3-4-2" for F with its barre. */
export const fingersInWords = ({ presses }: Pick<Shape, 'presses'>): string =>
  presses
    .toSorted((a, b) => b.from - a.from)
    .map(({ finger }) => finger)
    .join('-');

/** "Fingers 2-1-3, also 3-2-4"; undefined where nothing is pressed. */
export function fingersLine({
  presses,
  taught,
}: Pick<Shape, 'presses' | 'taught'>): string | undefined {
  if (presses.length === 0) return undefined;
  const others = (taught?.others ?? []).map((other) => fingersInWords({ presses: other }));
  const also = others.length > 0 ? `, also ${others.join(' or ')}` : '';
  return `Fingers ${fingersInWords({ presses })}${also}`;
}

/** Presses from the finger on each string: the same finger on several strings of a fret lies across them. */
export function pressesOf(frets: Frets, fingers: readonly (Finger | null)[]): readonly Press[] {
  const presses: Press[] = [];
  fingers.forEach((finger, i) => {
    const fret = frets[i];
    if (finger === null || !fret) return;
    const known = presses.findIndex((press) => press.finger === finger && press.fret === fret);
    const to = 6 - i;
    if (known < 0) presses.push({ finger, fret, from: to, to });
    else presses[known] = { ...presses[known]!, to };
  });
  return presses.sort((a, b) => a.fret - b.fret || b.from - a.from);
}

/** Those of the strings that sound, string 6 first. */
export const soundingPitches = (pitches: readonly (Midi | null)[]): readonly Midi[] =>
  pitches.filter((midi): midi is Midi => midi !== null);

/** Lowest stopped fret, or 0 when every sounding string is open. */
export function lowestFret(frets: Frets): Fret {
  let low = 0;
  for (const fret of frets) if (fret && (low === 0 || fret < low)) low = fret;
  return low;
}
