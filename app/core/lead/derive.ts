// "The same, an octave up", "the same in thirds": a part computed from another, as pitches.
import { type Key, readKey } from '../harmony/key.ts';
import { pitchClassOf } from '../harmony/notes.ts';
import { fail, ok, type Problem, type Result } from '../base/result.ts';
import type { Midi, PitchClass, Semitones } from '../base/units.ts';
import type { Bend, Derivation } from '../model/lead.ts';
import type { PitchedBar, PitchedNote } from './pitched.ts';

/** The scale that thirds and sixths go along. */
export interface LeadKey {
  /** As the chart names it: that of what is fingered. */
  readonly key: string | undefined;
  /** Semitones by which the pitches sound above what is fingered (`liftOf`). */
  readonly lift: Semitones;
}

/**
 * Moves every pitch of `bars`. Scale intervals need the chart's key;
 * a pitch outside the key moves with the scale degree below it and keeps its distance from it.
 */
export function derive(
  bars: readonly PitchedBar[],
  by: Derivation,
  { key, lift }: LeadKey,
): Result<PitchedBar[]> {
  if (by.kind === 'octave') {
    const shift = by.direction === 'up' ? 12 : -12;
    return ok(mapPitches(bars, (pitch) => pitch + shift));
  }
  if (key === undefined) return fail(NO_KEY);
  const read = readKey(key);
  if (!read.ok) return read;
  const scale = scaleOf(read.value);
  const steps = (by.interval - 1) * (by.direction === 'up' ? 1 : -1);
  return ok(mapPitches(bars, (pitch) => moveInScale(pitch - lift, scale, steps) + lift));
}

const MAJOR_SCALE: readonly PitchClass[] = [0, 2, 4, 5, 7, 9, 11];

/** Pitch classes of a key's scale in rising order from its tonic; minor is natural minor. */
function scaleOf(key: Key): readonly PitchClass[] {
  // Each sharp of a signature moves its major tonic up a fifth.
  const majorTonic = key.sharps * 7;
  const scale = MAJOR_SCALE.map((semitones) => (((majorTonic + semitones) % 12) + 12) % 12);
  const tonic = scale.indexOf(pitchClassOf(key.tonic));
  return [...scale.slice(tonic), ...scale.slice(0, tonic)];
}

function moveInScale(pitch: Midi, scale: readonly PitchClass[], steps: number): Midi {
  const tonic = scale[0]!;
  const degrees = scale.map((pc) => (pc - tonic + 12) % 12);
  const octave = Math.floor((pitch - tonic) / 12);
  const within = pitch - tonic - octave * 12;
  const degree = degrees.findLastIndex((semitones) => semitones <= within);
  const aside = within - degrees[degree]!;
  const to = degree + steps;
  const lands = degrees[((to % 7) + 7) % 7]! + 12 * Math.floor(to / 7);
  return tonic + octave * 12 + lands + aside;
}

function mapPitches(bars: readonly PitchedBar[], move: (pitch: Midi) => Midi): PitchedBar[] {
  return bars.map((bar) => ({
    events: bar.events.map((event) =>
      event.kind === 'notes'
        ? { ...event, notes: event.notes.map((note) => moveNote(note, move)) }
        : event,
    ),
  }));
}

function moveNote(note: PitchedNote, move: (pitch: Midi) => Midi): PitchedNote {
  if (typeof note.pitch !== 'number') return note;
  return {
    ...note,
    pitch: move(note.pitch),
    ...(note.grace && { grace: { ...note.grace, pitch: move(note.grace.pitch) } }),
    ...(note.bend && { bend: moveBend(note.pitch, note.bend, move) }),
  };
}

/** A bend arrives where the scale says, so a whole step may become a half; it never vanishes. */
function moveBend(pitch: Midi, bend: Bend, move: (pitch: Midi) => Midi): Bend {
  const semitones = move(pitch + bend.semitones) - move(pitch);
  return { ...bend, semitones: Math.min(3, Math.max(1, semitones)) as Bend['semitones'] };
}

const NO_KEY: Problem = {
  code: 'lead-key',
  message: 'the chart names no key',
  cure: 'Give the chart a key such as “G” or “F♯ minor”; thirds and sixths are those of the key.',
};
