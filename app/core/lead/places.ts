// Every way one moment of a lead line can be taken on the neck: strings, frets and where the hand lies.
import type { PitchedNote } from './pitched.ts';
import type { Fret, Midi, StringNo } from '../base/units.ts';
import type { Neck } from '../fretboard/geometry.ts';

/** What a lead can be played on: the neck in millimetres, its pitches and its end. */
export interface LeadNeck extends Neck {
  /** Sounding open strings from string 6 to string 1, capo included. */
  readonly open: readonly Midi[];
  /** Highest fret, counted from the nut or capo. */
  readonly frets: Fret;
}

export interface NeckPlace {
  readonly string: StringNo;
  readonly fret: Fret | 'muted';
  readonly graceFret?: Fret;
}

/** One place per note, with the fret that the first finger lies at; open strings bind no hand. */
export interface Grip {
  readonly places: readonly NeckPlace[];
  readonly hand: Fret | 'free';
}

/** Frets one hand position covers, a finger to a fret (common practice, no source). */
const HAND_FRETS = 4;

/** All grips of the notes struck together; empty when the tuning or the hand cannot give them. */
export function gripsOf(notes: readonly PitchedNote[], neck: LeadNeck): Grip[] {
  return combine(notes.map((note) => placesOf(note, neck))).flatMap((places) =>
    handsFor(places).map((hand) => ({ places, hand })),
  );
}

function placesOf(note: PitchedNote, neck: LeadNeck): NeckPlace[] {
  const { pitch } = note;
  if (typeof pitch !== 'number') return [{ string: pitch.mutedOn, fret: 'muted' }];
  return neck.open.flatMap((open, index) => {
    const fret = pitch - open;
    const graceFret = note.grace && note.grace.pitch - open;
    const lowest = note.bend ? 1 : 0;
    if (fret < lowest || fret > neck.frets) return [];
    if (graceFret !== undefined && (graceFret < 0 || graceFret > neck.frets)) return [];
    const string = neck.open.length - index;
    return [{ string, fret, ...(graceFret !== undefined && { graceFret }) }];
  });
}

/** Every choice of one place per note with no string used twice. */
function combine(choices: readonly NeckPlace[][]): NeckPlace[][] {
  return choices.reduce<NeckPlace[][]>(
    (sets, places) =>
      sets.flatMap((set) =>
        places
          .filter((place) => set.every((other) => other.string !== place.string))
          .map((place) => [...set, place]),
      ),
    [[]],
  );
}

function handsFor(places: readonly NeckPlace[]): (Fret | 'free')[] {
  const frets = places
    .flatMap((place) => [place.fret, place.graceFret])
    .filter((fret): fret is Fret => typeof fret === 'number' && fret > 0);
  if (frets.length === 0) return ['free'];
  const lowest = Math.min(...frets);
  const first = Math.max(1, Math.max(...frets) - HAND_FRETS + 1);
  return Array.from({ length: Math.max(0, lowest - first + 1) }, (_, i) => first + i);
}
