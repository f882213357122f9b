// A practice track as a Standard MIDI File: tempo, meter and markers; the clicks; the model guitar; lead lines; the band.
import { beatsOf } from '../../rhythm/meter.ts';
import { add, div, rational, toNumber } from '../../base/rational.ts';
import { hitsOf } from '../../sound/hits.ts';
import type { ClickVoice } from '../../timeline/click-voices.ts';
import type { Lap, LapBar } from '../../timeline/model.ts';
import { stretchesIn } from '../../timeline/tempo-map.ts';
import type { Midi, Seconds } from '../../base/units.ts';
import type { PracticeTrack } from '../practice-track.ts';
import {
  type Message,
  type TrackEvent,
  file,
  marker,
  noteOff,
  noteOn,
  program,
  setMeter,
  setTempo,
  STEEL_GUITAR,
  trackName,
} from './bytes.ts';
import { bandTracks } from './band.ts';
import { leadTracks } from './leads.ts';
import { type PlacedLap, placed, tickAt, tickOf, TICKS_PER_QUARTER } from './places.ts';

/** Channel 10 (9 from 0) is percussion: side stick, claves, wood blocks, cabasa, maracas and triangles of General MIDI's map (from memory). */
const CLICK_CHANNEL = 9;
const CLICK_NOTES: Readonly<Record<ClickVoice, Midi>> = {
  entrance: 75,
  count: 37,
  bar: 76,
  group: 77,
  beat: 77,
  rest: 69,
  subdivision: 70,
  cue: 80,
  change: 81,
};
const CLICK_VELOCITY: Readonly<Record<ClickVoice, number>> = {
  entrance: 116,
  count: 100,
  bar: 112,
  group: 98,
  beat: 88,
  rest: 40,
  subdivision: 56,
  cue: 84,
  change: 108,
};
const CLICK_TICKS = TICKS_PER_QUARTER / 16;
const GUITAR_CHANNEL = 0;

/** The whole file. Moments off the grid of 960 ticks, such as a strum's spread, go to the nearest tick. */
export function writeSmf(practice: PracticeTrack, title: string): Uint8Array<ArrayBuffer> {
  const laps = placed(practice.laps);
  const tracks: (readonly TrackEvent[])[] = [
    conductor(laps, practice, title),
    [{ tick: 0, message: trackName('Click') }, ...laps.flatMap((l) => clicks(l, practice))],
  ];
  const strings = laps.flatMap(guitar);
  if (strings.length > 0) {
    const start = [trackName('Guitar'), program(GUITAR_CHANNEL, STEEL_GUITAR)];
    tracks.push([...start.map((message) => ({ tick: 0, message })), ...strings]);
  }
  tracks.push(...leadTracks(laps, practice.unit), ...bandTracks(laps));
  return file(TICKS_PER_QUARTER, tracks);
}

function conductor(
  laps: readonly PlacedLap[],
  practice: PracticeTrack,
  title: string,
): readonly TrackEvent[] {
  const events: TrackEvent[] = [{ tick: 0, message: trackName(title) }];
  const last = { tempo: '', meter: '', marker: '' };
  const onChange = (what: keyof typeof last, tick: number, message: Message) => {
    const said = JSON.stringify(message);
    if (last[what] !== said) events.push({ tick, message });
    last[what] = said;
  };
  for (const { lap, at } of laps) {
    for (const bar of lap.bars) {
      const tick = tickOf(add(at, bar.at));
      for (const stretch of stretchesIn(bar)) {
        onChange('tempo', tickOf(add(at, stretch.at)), setTempo(stretch.quarter * 1e6));
      }
      onChange('meter', tick, meterOf(bar));
      onChange('marker', tick, marker(markerOf(lap, bar, practice)));
    }
  }
  return events;
}

/** A bar cut short by a pickup gets the time signature of its own length, so that bar lines stay right. */
function meterOf(bar: LapBar): Message {
  const beat = toNumber(beatsOf(bar.meter)[0]!.length);
  for (let power = Math.log2(bar.meter.unit); power <= 7; power++) {
    const numerator = div(bar.length, rational(4, 2 ** power));
    if (numerator.d === 1) return setMeter(numerator.n, 2 ** power, Math.round(24 * beat));
  }
  return setMeter(bar.meter.numerator, bar.meter.unit, Math.round(24 * beat));
}

function markerOf(lap: Lap, bar: LapBar, { unit }: PracticeTrack): string {
  if (bar.part === 'count-in') return `${lap.bpm} bpm: count-in`;
  if (bar.part === 'rest') return `${lap.bpm} bpm: rest`;
  return `${lap.bpm} bpm: ${unit.bars[bar.unitBar!]!.section}`;
}

function clicks({ lap, at }: PlacedLap, practice: PracticeTrack): readonly TrackEvent[] {
  return hitsOf(lap, practice.click).flatMap((hit) => {
    const tick = tickOf(add(at, hit.at));
    const note = CLICK_NOTES[hit.voice];
    return [
      { tick, message: noteOn(CLICK_CHANNEL, note, CLICK_VELOCITY[hit.voice]) },
      { tick: tick + CLICK_TICKS, message: noteOff(CLICK_CHANNEL, note) },
    ];
  });
}

/** Ends before beginnings, so that a string struck again at the tick where it was stopped is not cut off. */
function guitar(placedLap: PlacedLap): readonly TrackEvent[] {
  const tick = (seconds: Seconds) => tickAt(placedLap, seconds);
  const notes = placedLap.model.map(({ seconds, until, midi, gain, muted }): GuitarNote => {
    return { on: tick(seconds), off: tick(until), midi, velocity: gain * (muted ? 60 : 110) };
  });
  const apart = [...Map.groupBy(notes, (note) => note.midi).values()].flatMap(oneAtATime);
  return [
    ...apart.map(({ off, midi }) => ({ tick: off, message: noteOff(GUITAR_CHANNEL, midi) })),
    ...apart.map(({ on, midi, velocity }) => {
      return { tick: on, message: noteOn(GUITAR_CHANNEL, midi, Math.round(velocity)) };
    }),
  ];
}

interface GuitarNote {
  readonly on: number;
  readonly off: number;
  readonly midi: Midi;
  readonly velocity: number;
}

/** A channel cannot hold one pitch twice: of two strings in unison the earlier ends where the later begins. */
function oneAtATime(notes: readonly GuitarNote[]): readonly GuitarNote[] {
  let ringing = 0;
  return notes.map((note, i) => {
    ringing = Math.max(ringing, note.off);
    return { ...note, off: Math.min(ringing, notes[i + 1]?.on ?? Infinity) };
  });
}
