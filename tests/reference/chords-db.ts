// Reads the guitar positions of `@tombatossals/chords-db` 0.5.1 (npm) and compares our shapes with them.
import db from '@tombatossals/chords-db/lib/guitar.json' with { type: 'json' };
import { printFrets } from '../../app/core/chart/frets.ts';
import type { Frets } from '../../app/core/chart/model.ts';
import { isAlike } from '../../app/core/fretboard/explain.ts';
import { shapesFor } from '../../app/core/fretboard/search.ts';
import { pitchesOf, soundingPitches } from '../../app/core/fretboard/shape.ts';
import type { Shape } from '../../app/core/fretboard/shape.ts';
import { STANDARD } from '../../app/core/fretboard/tunings.ts';
import type { SoundingChord } from '../../app/core/harmony/chord.ts';
import { omissibleTones } from '../../app/core/harmony/omission.ts';
import { readChord } from '../../app/core/harmony/read.ts';
import { unwrap } from '../../app/core/result.ts';
import type { Midi } from '../../app/core/units.ts';

export interface Position {
  readonly symbol: string;
  readonly suffix: string;
  readonly chord: SoundingChord;
  /** 0 is the position that the database lists first. */
  readonly index: number;
  readonly frets: Frets;
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
      return { symbol, suffix, chord, index, frets: absolute(written), midi: written.midi };
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

/** The families for which issue 3 asks for agreement: 11 qualities on 12 roots. */
const FAMILIES = ['major', 'minor', '7', 'm7', 'maj7', 'sus4', 'dim', 'aug', '6', 'm6', '9'];
const BEST = 3;

export interface Disagreement {
  readonly symbol: string;
  readonly theirs: string;
  readonly ours: string;
  readonly reason: string;
}

export interface Agreement {
  readonly of: number;
  /** First positions that are, fret for fret, among our best three. */
  readonly exact: number;
  /** The same, or listed with one of the three as what it becomes when strings are left out or let sound. */
  readonly listed: number;
  /** The same, or with strings more or fewer sounding and all others alike. */
  readonly sameGrip: number;
  /** Those that are not even the same grip. */
  readonly exceptions: readonly Disagreement[];
}

export function agreement(): Agreement {
  const first = POSITIONS.filter((p) => p.index === 0 && FAMILIES.includes(p.suffix));
  const compared = first.map((position) => {
    const ours = shapesFor(position.chord, STANDARD, { most: 200 });
    const best = ours.slice(0, BEST);
    const exact = best.some((s) => s.frets.join() === position.frets.join());
    const key = position.frets.join();
    const listed = exact || best.some((s) => s.also.some((frets) => frets.join() === key));
    const sameGrip = best.some((s) => isAlike(s.frets, position.frets));
    return { position, ours, exact, listed, sameGrip };
  });
  return {
    of: compared.length,
    exact: compared.filter((c) => c.exact).length,
    listed: compared.filter((c) => c.listed).length,
    sameGrip: compared.filter((c) => c.sameGrip).length,
    exceptions: compared
      .filter((c) => !c.sameGrip)
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

function reasonFor(position: Position, ours: readonly Shape[]): string {
  const wrong = contradictions(position);
  if (wrong.length > 0) return `its notes are not the chord: ${wrong.join(', ')}`;
  const lowest = soundingPitches(pitchesOf(position.frets, STANDARD.strings))[0]! % 12;
  const { chord } = position;
  const tone = chord.tones.find((t) => t.pitchClass === lowest)!;
  if (lowest !== chord.bassPc) return `its lowest note is the ${tone.label}, ours is the root`;
  const place = ours.findIndex((s) => isAlike(s.frets, position.frets));
  if (place < 0) return 'the model finds it too hard to hold to list it';
  return `place ${place + 1} with ease ${ours[place]!.ease.toFixed(1)}, our third has ${ours[BEST - 1]!.ease.toFixed(1)}: ${hardest(ours[place]!)} counts most`;
}

/** The part of a shape's ease, fingers apart, that costs most. */
const hardest = (shape: Shape): string =>
  Object.entries(shape.parts)
    .filter(([part]) => part !== 'fingers')
    .sort(([, a], [, b]) => b - a)[0]![0];
