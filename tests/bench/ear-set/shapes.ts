// The chords of the test set: shapes from npm @tombatossals/chords-db, pitch classes read off their notes.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Midi, PitchClass } from '../../../app/core/base/units.ts';
import type { Dice } from './random.ts';

/** One MIDI note per string from string 6 to string 1; null is a string that must not sound. */
export interface SetShape {
  readonly symbol: string;
  readonly root: PitchClass;
  readonly quality: Quality;
  readonly strings: readonly (Midi | null)[];
}

/** chords-db suffix → what is written after the root. */
const QUALITIES = {
  major: '',
  minor: 'm',
  '7': '7',
  m7: 'm7',
  maj7: 'maj7',
  sus4: 'sus4',
  sus2: 'sus2',
  '6': '6',
  add9: 'add9',
} as const;
export type Quality = keyof typeof QUALITIES;

const ROOTS = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'] as const;
export const OPEN = [40, 45, 50, 55, 59, 64] as const;

interface Position {
  readonly frets: readonly number[];
  readonly baseFret: number;
  readonly midi: readonly Midi[];
}
interface Library {
  readonly chords: Readonly<
    Record<string, readonly { readonly suffix: string; readonly positions: readonly Position[] }[]>
  >;
}

const library = JSON.parse(
  readFileSync(
    createRequire(import.meta.url).resolve('@tombatossals/chords-db/lib/guitar.json'),
    'utf8',
  ),
) as Library;

/** The library's n-th position (0 is the lowest on the neck; the last one if there are fewer). */
export function shapeOf(root: PitchClass, quality: Quality, position: number): SetShape {
  const name = ROOTS[root]!;
  const entries = library.chords[name.replace('#', 'sharp')]!;
  const positions = entries.find((c) => c.suffix === quality)!.positions;
  const chosen = positions[Math.min(position, positions.length - 1)]!;
  const sounding = [...chosen.midi];
  const strings = chosen.frets.map((fret) => (fret < 0 ? null : sounding.shift()!));
  return { symbol: name + QUALITIES[quality], root, quality, strings };
}

/** Degrees of a major key with the qualities players meet there: semitones above the key, quality, weight. */
const DEGREES: readonly (readonly [readonly [number, Quality], number])[] = [
  [[0, 'major'], 6],
  [[2, 'minor'], 3],
  [[4, 'minor'], 2],
  [[5, 'major'], 5],
  [[7, 'major'], 4],
  [[9, 'minor'], 4],
  [[7, '7'], 3],
  [[2, 'm7'], 2],
  [[9, 'm7'], 2],
  [[0, 'maj7'], 2],
  [[5, 'maj7'], 1],
  [[2, '7'], 1],
  [[4, '7'], 1],
  [[5, 'minor'], 1],
  [[7, 'sus4'], 1],
  [[2, 'sus2'], 1],
  [[5, '6'], 1],
  [[0, 'add9'], 1],
];

/** A chord of the key other than `not`. */
export function chordOfKey(d: Dice, key: PitchClass, not?: SetShape): SetShape {
  for (;;) {
    const [degree, quality] = d.weighted(DEGREES);
    const shape = shapeOf((key + degree) % 12, quality, d.chance(0.7) ? 0 : 1);
    if (shape.symbol !== not?.symbol) return shape;
  }
}

export const isOpen = (midi: Midi, string: number): boolean => midi === OPEN[string];

export const pitchClasses = (strings: readonly (Midi | null)[]): PitchClass[] =>
  [...new Set(strings.filter((m) => m !== null).map((m) => m % 12))].toSorted((a, b) => a - b);
