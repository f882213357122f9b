// Reads the guitar positions of `@tombatossals/chords-db` 0.5.1 (npm) and compares our shapes with them.
import db from '@tombatossals/chords-db/lib/guitar.json' with { type: 'json' };
import { printFrets } from '../../app/core/fretboard/frets.ts';
import type { Frets } from '../../app/core/model/chart.ts';
import { canDamp } from '../../app/core/fretboard/ease.ts';
import { isAlike } from '../../app/core/fretboard/grips.ts';
import { shapesFor } from '../../app/core/fretboard/search.ts';
import { soundingPitches } from '../../app/core/fretboard/shape.ts';
import { pitchesOf } from '../../app/core/fretboard/capo.ts';
import type { Shape } from '../../app/core/fretboard/shape.ts';
import { STANDARD } from '../../app/core/harmony/tunings.ts';
import type { SoundingChord } from '../../app/core/model/chord.ts';
import { omissibleTones } from '../../app/core/harmony/omission.ts';
import { readChord } from '../../app/core/harmony/read.ts';
import { unwrap } from '../../app/core/base/result.ts';
import type { Finger, Midi } from '../../app/core/base/units.ts';

export interface Position {
  readonly symbol: string;
  readonly suffix: string;
  readonly chord: SoundingChord;
  /** 0 is the position that the database lists first. */
  readonly index: number;
  readonly frets: Frets;
  /** From string 6 to string 1; null where none presses. */
  readonly fingers: readonly (Finger | null)[];
  readonly midi: readonly Midi[];
}

/**
 * The database's words for qualities that are not chord symbols. 'alt' and '7sg' are its own: their
 * pitches say that it means the major chord with a flat fifth, and the plain seventh chord.
 */
const SUFFIXES: Readonly<Record<string, string>> = {
  major: '',
  minor: 'm',
  '69': '6/9',
  alt: '(b5)',
  '7sg': '7',
};

interface Written {
  readonly frets: readonly number[];
  /** 0 where none presses. */
  readonly fingers: readonly number[];
  readonly baseFret: number;
  readonly midi: readonly number[];
}

/** Frets are written from the position's base fret; −1 is muted, 0 is open. */
const absolute = ({ frets, baseFret }: Written): Frets =>
  frets.map((fret) => (fret < 0 ? null : fret === 0 ? 0 : fret + baseFret - 1));

export const POSITIONS: readonly Position[] = Object.entries(db.chords).flatMap(([key, chords]) =>
  chords.flatMap(({ suffix, positions }) => {
    const symbol = key.replace('sharp', '#') + (SUFFIXES[suffix] ?? suffix);
    const chord = unwrap(readChord(symbol)) as SoundingChord;
    return positions.map((written: Written, index): Position => {
      const fingers = written.fingers.map((finger) => (finger || null) as Finger | null);
      return {
        symbol,
        suffix,
        chord,
        index,
        frets: absolute(written),
        fingers,
        midi: written.midi,
      };
    });
  }),
);

export const OPEN_STRINGS = db.tunings.standard;

/** How a position's own pitches contradict its symbol: "♭7 is missing", "F is extra"; empty when they fit. */
export function contradictions({ chord, midi }: Position): readonly string[] {
  const heard = new Set(midi.map((note) => note % 12));
  const may = new Set(omissibleTones(chord.tones.map((t) => t.interval)).map((t) => t.label));
  const missing = chord.tones.filter((t) => !heard.has(t.pitchClass) && !may.has(t.label));
  const extra = [...heard].filter((pc) => !chord.pitchClasses.includes(pc));
  return [
    ...missing.map((tone) => `${tone.label} is missing`),
    ...extra.map((pc) => `pitch class ${pc} is extra`),
  ];
}

/** The qualities by which agreement is measured: 11, on 12 roots. */
export const COMMON_QUALITIES = [
  'major',
  'minor',
  '7',
  'm7',
  'maj7',
  'sus4',
  'dim',
  'aug',
  '6',
  'm6',
  '9',
];
const BEST = 3;

export interface Disagreement {
  readonly symbol: string;
  readonly theirs: string;
  readonly ours: string;
  readonly reason: string;
}

export interface Agreement {
  readonly of: number;
  /** First positions that lead one of our best three grips, fret for fret. */
  readonly leading: number;
  /** First positions that are shown with our best three, fret for fret: leading one, or as its variant. */
  readonly listed: number;
  /** Those that are not. */
  readonly exceptions: readonly Disagreement[];
}

export function agreement(): Agreement {
  const first = POSITIONS.filter((p) => p.index === 0 && COMMON_QUALITIES.includes(p.suffix));
  const compared = first.map((position) => {
    const ours = shapesFor(position.chord, STANDARD, { most: 200 });
    const best = ours.slice(0, BEST);
    const key = position.frets.join();
    const leading = best.some((s) => s.frets.join() === key);
    const listed = leading || best.some((s) => s.also.some((frets) => frets.join() === key));
    return { position, ours, leading, listed };
  });
  return {
    of: compared.length,
    leading: compared.filter((c) => c.leading).length,
    listed: compared.filter((c) => c.listed).length,
    exceptions: compared
      .filter((c) => !c.listed)
      .map(({ position, ours }) => ({
        symbol: position.symbol,
        theirs: printFrets(position.frets),
        ours: ours
          .slice(0, BEST)
          .map((s) => printFrets(s.frets))
          .join(' '),
        reason: reasonFor(position, ours),
      })),
  };
}

/**
 * How two published tables agree with each other on the common chords that both have: chords-db's first
 * position, fret for fret, is the engraver's shape; the engraver's shape is among its first three.
 */
export function agreementWith(table: readonly { symbol: string; frets: Frets }[]) {
  const shapes = new Map<string, string[]>();
  for (const { symbol, frets } of table) {
    const key = soundOf(unwrap(readChord(symbol)) as SoundingChord);
    shapes.set(key, [...(shapes.get(key) ?? []), frets.join()]);
  }
  const both = POSITIONS.filter(
    (p) => p.index === 0 && COMMON_QUALITIES.includes(p.suffix) && shapes.has(soundOf(p.chord)),
  );
  const has = (p: Position) => shapes.get(soundOf(p.chord))!.includes(p.frets.join());
  const firstThree = (p: Position) =>
    POSITIONS.filter((q) => q.symbol === p.symbol && q.index < BEST);
  return {
    of: both.length,
    first: both.filter(has).length,
    amongThree: both.filter((p) => firstThree(p).some(has)).length,
  };
}

const soundOf = ({ rootPc, tones }: SoundingChord): string =>
  `${rootPc}: ${tones.map((tone) => tone.semitones % 12).join()}`;

function reasonFor(position: Position, ours: readonly Shape[]): string {
  const wrong = contradictions(position);
  if (wrong.length > 0) return `its notes are not the chord: ${wrong.join(', ')}`;
  const lowest = soundingPitches(pitchesOf(position.frets, STANDARD.strings))[0]! % 12;
  const { chord } = position;
  const tone = chord.tones.find((t) => t.pitchClass === lowest)!;
  if (lowest !== chord.bassPc) return `its lowest note is the ${tone.label}, ours is the root`;
  const place = ours.findIndex((s) => isAlike(s.frets, position.frets));
  if (!canDamp(position.frets)) return 'no finger is near enough to damp its inner string';
  if (place < 0) return 'the model finds it too hard to hold to list it';
  if (place < BEST) return `its grip is our place ${place + 1}, but five variants of it are easier`;
  return `place ${place + 1} with ease ${ours[place]!.ease.toFixed(1)}, our third has ${ours[BEST - 1]!.ease.toFixed(1)}: ${hardest(ours[place]!)} counts most`;
}

/** The part of a shape's ease, fingers apart, that costs most. */
const hardest = (shape: Shape): string =>
  Object.entries(shape.parts)
    .filter(([part]) => part !== 'fingers')
    .sort(([, a], [, b]) => b - a)[0]![0];
