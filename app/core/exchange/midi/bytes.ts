// What stands in our MIDI files, as the events that midi-file writes (SMF 1.0): names, tempo, meter, notes, bends.
import { type MidiEvent, writeMidi } from 'midi-file';

/** A MIDI event whose time is not said yet: a track counts from one event to the next. */
export type Message = MidiEvent extends infer E
  ? E extends MidiEvent
    ? Omit<E, 'deltaTime'>
    : never
  : never;

/** Something in a track at an absolute time in ticks. */
export interface TrackEvent {
  readonly tick: number;
  readonly message: Message;
}

/** SMF 1.0 leaves the letters beyond ASCII open; UTF-8 keeps ASCII as it is. midi-file writes one byte a letter. */
const utf8 = (text: string): string =>
  encodeURIComponent(text.toWellFormed()).replaceAll(/%(..)/g, (_, hex: string) =>
    String.fromCharCode(parseInt(hex, 16)),
  );

/** The name of a track (SMF 1.0, FF 03), in UTF-8. */
export const trackName = (name: string): Message => ({ type: 'trackName', text: utf8(name) });

/** The name of a place (SMF 1.0, FF 06), in UTF-8. */
export const marker = (text: string): Message => ({ type: 'marker', text: utf8(text) });

/** 24 bits: 120 bpm are 500,000 microseconds per quarter note. */
export const setTempo = (microseconds: number): Message => ({
  type: 'setTempo',
  microsecondsPerBeat: Math.min(0xff_ffff, Math.max(1, Math.round(microseconds))),
});

/** @param denominator a power of two. @param clocks MIDI clocks (24 a quarter) per click; 8 32nds a quarter. */
export const setMeter = (numerator: number, denominator: number, clocks: number): Message => ({
  type: 'timeSignature',
  numerator,
  denominator,
  metronome: clocks,
  thirtyseconds: 8,
});

/** @param channel 0 to 15. @param noteNumber 0 to 127, 60 being middle C. @param velocity 1 to 127 */
export const noteOn = (channel: number, noteNumber: number, velocity: number): Message => ({
  type: 'noteOn',
  channel,
  noteNumber,
  velocity,
});

/** @param channel 0 to 15. @param noteNumber 0 to 127 */
export const noteOff = (channel: number, noteNumber: number): Message => ({
  type: 'noteOff',
  channel,
  noteNumber,
  velocity: 64,
});

/** @param channel 0 to 15. @param programNumber 0 to 127, one less than General MIDI counts */
export const program = (channel: number, programNumber: number): Message => ({
  type: 'programChange',
  channel,
  programNumber,
});
/** General MIDI program 26, acoustic guitar (steel), counted from 0 (from memory). */
export const STEEL_GUITAR = 25;

const control = (channel: number, controllerType: number, value: number): Message => ({
  type: 'controller',
  channel,
  controllerType,
  value,
});

/**
 * Registered parameter 0,0 of MIDI 1.0 (from memory): how many semitones a full pitch bend is, by data
 * entry (control 6 semitones, 38 cents); then the parameter is put away (127,127).
 */
export const bendRange = (channel: number, semitones: number): readonly Message[] => [
  control(channel, 101, 0),
  control(channel, 100, 0),
  control(channel, 6, semitones),
  control(channel, 38, 0),
  control(channel, 101, 127),
  control(channel, 100, 127),
];

/** MIDI 1.0's 14 bits: 0 is no bend, 8191 and −8192 are the whole range. */
export const pitchBend = (channel: number, by: number): Message => ({
  type: 'pitchBend',
  channel,
  value: Math.max(-8192, Math.min(8191, Math.round(by))),
});

/** A file of format 1: tracks that sound together, the first with tempo and meter. */
export function file(
  ticksPerBeat: number,
  tracks: readonly (readonly TrackEvent[])[],
): Uint8Array<ArrayBuffer> {
  const header = { format: 1, numTracks: tracks.length, ticksPerBeat } as const;
  const start = writeMidi({ header, tracks: tracks.map(() => []) }).slice(0, HEADER_BYTES);
  return Uint8Array.from(start.concat(...tracks.map(trackChunk)));
}

/** "MThd", its length, format, number of tracks and division. */
const HEADER_BYTES = 14;
/** "MTrk", before the length of a track in four bytes. */
const TRACK_MARK = [0x4d, 0x54, 0x72, 0x6b];
/** midi-file copies all that it has of a track after every long wait, so long tracks are written in stretches. */
const STRETCH = 64;

function trackChunk(events: readonly TrackEvent[]): number[] {
  const all = inOrder(events);
  const stretches: number[][] = [];
  for (let from = 0; from < all.length; from += STRETCH)
    stretches.push(eventBytes(all.slice(from, from + STRETCH)));
  const body = ([] as number[]).concat(...stretches);
  const length = [24, 16, 8, 0].map((shift) => (body.length >>> shift) & 0xff);
  return TRACK_MARK.concat(length, body);
}

const eventBytes = (events: MidiEvent[]): number[] =>
  writeMidi({ header: { format: 0, numTracks: 1 }, tracks: [events] }).slice(
    HEADER_BYTES + TRACK_MARK.length + 4,
  );

/** Events by tick; at one tick in the order given. */
function inOrder(events: readonly TrackEvent[]): MidiEvent[] {
  let last = 0;
  const timed = events
    .toSorted((a, b) => a.tick - b.tick)
    .map(({ tick, message }): MidiEvent => {
      const deltaTime = tick - last;
      last = tick;
      return { ...message, deltaTime };
    });
  return [...timed, { type: 'endOfTrack', deltaTime: 0 }];
}
