// The bytes of a Standard MIDI File (SMF 1.0): chunks, variable-length times, messages and meta events.

/** Something in a track at an absolute time in ticks. */
export interface TrackEvent {
  readonly tick: number;
  readonly bytes: readonly number[];
}

/** Seven bits a byte, highest first, all but the last marked. @throws RangeError outside 0–0x0FFFFFFF. */
export function variableLength(value: number): readonly number[] {
  if (!(Number.isInteger(value) && value >= 0 && value <= 0x0fff_ffff)) {
    throw new RangeError(`variableLength: ${value} is not an integer from 0 to 268435455`);
  }
  const bytes = [value & 0x7f];
  for (let rest = value >> 7; rest > 0; rest >>= 7) bytes.unshift((rest & 0x7f) | 0x80);
  return bytes;
}

const META = { text: 0x01, name: 0x03, marker: 0x06, end: 0x2f, tempo: 0x51, meter: 0x58 } as const;

function meta(type: keyof typeof META, data: readonly number[]): readonly number[] {
  return [0xff, META[type], ...variableLength(data.length), ...data];
}

/** SMF 1.0 leaves the letters beyond ASCII open; UTF-8 keeps ASCII as it is. */
const utf8 = (text: string): readonly number[] =>
  [...encodeURIComponent(text.toWellFormed()).matchAll(/%(..)|(.)/g)].map(([, hex, letter]) =>
    hex === undefined ? letter!.charCodeAt(0) : parseInt(hex, 16),
  );

export const trackName = (name: string) => meta('name', utf8(name));
export const marker = (text: string) => meta('marker', utf8(text));

/** FF 51 03: microseconds per quarter note, 24 bits, highest byte first (120 bpm = 07 A1 20). */
export function setTempo(microseconds: number): readonly number[] {
  const whole = Math.min(0xff_ffff, Math.max(1, Math.round(microseconds)));
  return meta('tempo', [whole >> 16, (whole >> 8) & 0xff, whole & 0xff]);
}

/** FF 58 04: numerator, power of two of the denominator, MIDI clocks (24 a quarter) per click, 8 32nds a quarter. */
export const setMeter = (numerator: number, power: number, clocks: number) =>
  meta('meter', [numerator, power, clocks, 8]);

export const noteOn = (channel: number, note: number, velocity: number) => [
  0x90 | channel,
  note,
  velocity,
];
export const noteOff = (channel: number, note: number) => [0x80 | channel, note, 64];
export const program = (channel: number, number: number) => [0xc0 | channel, number];
/** General MIDI program 26, acoustic guitar (steel), counted from 0 (from memory). */
export const STEEL_GUITAR = 25;

const control = (channel: number, number: number, value: number) => [0xb0 | channel, number, value];

/**
 * Registered parameter 0,0 of MIDI 1.0 (from memory): how many semitones a full pitch bend is, by data
 * entry (control 6 semitones, 38 cents); then the parameter is put away (127,127).
 */
export const bendRange = (channel: number, semitones: number): readonly (readonly number[])[] => [
  control(channel, 101, 0),
  control(channel, 100, 0),
  control(channel, 6, semitones),
  control(channel, 38, 0),
  control(channel, 101, 127),
  control(channel, 100, 127),
];

/** MIDI 1.0's 14 bits, low seven first; 0 is no bend, 8191 and −8192 are the whole range. */
export function pitchBend(channel: number, by: number): readonly number[] {
  const value = 8192 + Math.max(-8192, Math.min(8191, Math.round(by)));
  return [0xe0 | channel, value & 0x7f, value >> 7];
}

const big = (value: number, bytes: number): readonly number[] =>
  Array.from({ length: bytes }, (_, i) => Math.floor(value / 256 ** (bytes - 1 - i)) % 256);

const chunk = (type: string, data: readonly number[]): readonly number[] => [
  ...utf8(type),
  ...big(data.length, 4),
  ...data,
];

/** Events by tick; at one tick in the order given. */
export function track(events: readonly TrackEvent[]): readonly number[] {
  let last = 0;
  const data = events
    .toSorted((a, b) => a.tick - b.tick)
    .flatMap(({ tick, bytes }) => {
      const delta = tick - last;
      last = tick;
      return [...variableLength(delta), ...bytes];
    });
  return chunk('MTrk', [...data, 0, ...meta('end', [])]);
}

/** A file of format 1: tracks that sound together, the first with tempo and meter. */
export function file(ticksPerQuarter: number, tracks: readonly (readonly number[])[]): Uint8Array {
  const header = chunk('MThd', [
    ...big(1, 2),
    ...big(tracks.length, 2),
    ...big(ticksPerQuarter, 2),
  ]);
  return Uint8Array.from([header, ...tracks].flat());
}
