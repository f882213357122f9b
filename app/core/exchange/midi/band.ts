// The band as MIDI: drums on channel 10 by General MIDI's percussion map, a fingered bass on channel 16.
import { add } from '../../base/rational.ts';
import type { Midi } from '../../base/units.ts';
import type { DrumVoice } from '../../band/model.ts';
import { noteOff, noteOn, program, trackName, type TrackEvent } from './bytes.ts';
import { type PlacedLap, tickAt, tickOf, TICKS_PER_QUARTER } from './places.ts';

/** Channels counted from 0. */
const DRUM_CHANNEL = 9;
const BASS_CHANNEL = 15;
/** General MIDI program 34, electric bass (finger), counted from 0 (from memory). */
const FINGERED_BASS = 33;

/** General MIDI's percussion map (from memory); it has no brushes, so soft snares stand for them. */
const DRUM_NOTES: Readonly<Record<DrumVoice, Midi>> = {
  kick: 36,
  snare: 38,
  rim: 37,
  hat: 42,
  'open-hat': 46,
  ride: 51,
  crash: 49,
  'tom-high': 48,
  'tom-low': 43,
  brush: 38,
  tap: 40,
};
const DRUM_TICKS = TICKS_PER_QUARTER / 8;
const LOUDEST = 118;

/** One track for the drums and one for the bass, each only if it plays. */
export function bandTracks(laps: readonly PlacedLap[]): readonly (readonly TrackEvent[])[] {
  const drums = laps.flatMap(drumsOf);
  const bass = laps.flatMap(bassOf);
  const named = (name: string): TrackEvent => ({ tick: 0, message: trackName(name) });
  return [
    ...(drums.length > 0 ? [[named('Drums'), ...drums]] : []),
    ...(bass.length > 0
      ? [[named('Bass'), { tick: 0, message: program(BASS_CHANNEL, FINGERED_BASS) }, ...bass]]
      : []),
  ];
}

const drumsOf = ({ band, at }: PlacedLap): readonly TrackEvent[] =>
  band.drums.flatMap((hit) => {
    const tick = tickOf(add(at, hit.at));
    const note = DRUM_NOTES[hit.voice];
    return [
      { tick, message: noteOn(DRUM_CHANNEL, note, velocityOf(hit.gain)) },
      { tick: tick + DRUM_TICKS, message: noteOff(DRUM_CHANNEL, note) },
    ];
  });

function bassOf(lap: PlacedLap): readonly TrackEvent[] {
  return lap.band.bass.flatMap((note) => {
    const tick = tickOf(add(lap.at, note.at));
    const off = Math.max(tick + 1, tickAt(lap, note.until));
    return [
      { tick, message: noteOn(BASS_CHANNEL, note.midi, velocityOf(note.gain)) },
      { tick: off, message: noteOff(BASS_CHANNEL, note.midi) },
    ];
  });
}

const velocityOf = (gain: number): number => Math.max(1, Math.round(LOUDEST * gain));
