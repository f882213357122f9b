// "The same, an octave up", "the same in thirds": a part computed from another, as pitches.
import { Key, Note } from 'tonal';
import { fail, ok, type Result } from '../../result.ts';
import type { Midi, PitchClass } from '../../units.ts';
import type { Bend, Derivation } from './model.ts';
import type { PitchedBar, PitchedNote } from './pitched.ts';

/**
 * Moves every pitch of `bars`. Scale intervals need the chart's key ("G", "F♯ minor"; natural minor);
 * a pitch outside the key moves with the scale degree below it and keeps its distance from it.
 */
export function derive(
  bars: readonly PitchedBar[],
  by: Derivation,
  key: string | undefined,
): Result<PitchedBar[]> {
  if (by.kind === 'octave') {
    const shift = by.direction === 'up' ? 12 : -12;
    return ok(mapPitches(bars, (pitch) => pitch + shift));
  }
  const scale = key === undefined ? undefined : scaleOf(key);
  if (!scale) {
    return fail({
      code: 'phrase-key',
      message: key ? `“${key}” is not a key that scales are known for` : 'the chart names no key',
      cure: 'Give the chart a key such as “G” or “F♯ minor”; thirds and sixths are those of the key.',
    });
  }
  const steps = (by.interval - 1) * (by.direction === 'up' ? 1 : -1);
  return ok(mapPitches(bars, (pitch) => moveInScale(pitch, scale, steps)));
}

/** Pitch classes of a key's scale in rising order from its tonic, or undefined for an unknown key. */
function scaleOf(key: string): readonly PitchClass[] | undefined {
  const match = /^([A-G])([#♯b♭]?)\s*(m|min|minor|maj|major)?$/i.exec(key.trim());
  if (!match) return undefined;
  const tonic = match[1]!.toUpperCase() + match[2]!.replace('♯', '#').replace('♭', 'b');
  const minor = match[3] === 'm' || /^min/i.test(match[3] ?? '');
  const names = minor ? Key.minorKey(tonic).natural.scale : Key.majorKey(tonic).scale;
  const scale = names.map((name) => Note.chroma(name));
  return scale.length === 7 ? scale : undefined;
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
