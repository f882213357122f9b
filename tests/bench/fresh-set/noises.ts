// What else is heard where people practise: a television's voices, a street, a kitchen, a fan, a radio.
//
// All of it is invented here: no voice, song or recording of anybody is in it.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type MidiEvent, writeMidi } from 'midi-file';
import type { Hertz, Samples } from '../../../app/core/base/units.ts';
import { BANK_RATE } from '../ear-set/bank.ts';
import { dice, type Dice } from '../ear-set/random.ts';

export type Noise = 'television' | 'street' | 'kitchen' | 'fan' | 'radio';

/** `length` samples of about the same loudness throughout; {@link levelled} makes them as loud as they should be. */
export function noiseOf(kind: Noise, d: Dice, length: Samples, cache: string): Float32Array {
  switch (kind) {
    case 'television':
      return television(d, length);
    case 'street':
      return street(d, length);
    case 'kitchen':
      return kitchen(d, length);
    case 'fan':
      return fan(d, length);
    case 'radio':
      return radio(d, length, cache);
  }
}

/** First three formants of vowels of men, Peterson & Barney (1952), from memory. */
const VOWELS: readonly (readonly [Hertz, Hertz, Hertz])[] = [
  [270, 2290, 3010],
  [390, 1990, 2550],
  [530, 1840, 2480],
  [660, 1720, 2410],
  [730, 1090, 2440],
  [570, 840, 2410],
  [440, 1020, 2240],
  [300, 870, 2240],
  [640, 1190, 2390],
  [490, 1350, 1690],
];

/** Two people in turn: pulses of a voice through gliding formants, hisses between, pauses. */
function television(d: Dice, length: Samples): Float32Array {
  const out = new Float32Array(length);
  const voices = [d.between(90, 130), d.between(160, 230)];
  let [at, voice] = [0, 0];
  while (at < length) {
    const syllables = Math.floor(d.between(3, 14));
    const base = voices[voice]!;
    for (let k = 0; k < syllables && at < length; k++) {
      const pitch = base * (1.15 - (0.3 * k) / syllables) * d.between(0.93, 1.07);
      at = syllable(out, at, { pitch, size: voice === 0 ? 1 : 1.15 }, d);
    }
    at += Math.round(d.between(0.15, 0.8) * BANK_RATE);
    if (d.chance(0.5)) voice = 1 - voice;
  }
  return out;
}

/** @returns where it ends. */
function syllable(
  out: Float32Array,
  from: Samples,
  { pitch, size }: { readonly pitch: Hertz; readonly size: number },
  d: Dice,
): Samples {
  let at = from;
  if (d.chance(0.45)) at = hiss(out, at, d);
  const [here, there] = [d.pick(VOWELS), d.pick(VOWELS)];
  const length = Math.round(d.between(0.09, 0.24) * BANK_RATE);
  const formants = [0, 1, 2].map(() => resonator());
  let phase = 0;
  for (let i = 0; i < length && at + i < out.length; i++) {
    const share = i / length;
    phase += (pitch * (1 + 0.06 * Math.sin(4 * share))) / BANK_RATE;
    const pulse = phase >= 1 ? 1 : 0;
    if (pulse) phase -= 1;
    const loud = Math.sin(Math.PI * Math.min(1, share * 1.05)) ** 0.6 || 0;
    let x = pulse + 0.004 * d.between(-1, 1);
    let sum = 0;
    formants.forEach((formant, k) => {
      const hertz = size * (here[k]! + share * (there[k]! - here[k]!));
      x = k === 0 ? x : 0.7 * x;
      sum += formant(x, hertz, 60 + 50 * k);
    });
    out[at + i]! += loud * sum;
  }
  return at + length;
}

function hiss(out: Float32Array, from: Samples, d: Dice): Samples {
  const length = Math.round(d.between(0.03, 0.11) * BANK_RATE);
  const formant = resonator();
  const hertz = d.between(2500, 6500);
  for (let i = 0; i < length && from + i < out.length; i++) {
    const loud = 0.5 * Math.sin((Math.PI * i) / length);
    out[from + i]! += loud * formant(0.2 * d.between(-1, 1), hertz, 1500);
  }
  return from + length;
}

function resonator(): (x: number, hertz: Hertz, width: Hertz) => number {
  let [y1, y2] = [0, 0];
  return (x, hertz, width) => {
    const r = Math.exp((-Math.PI * width) / BANK_RATE);
    const y = x + 2 * r * Math.cos((2 * Math.PI * hertz) / BANK_RATE) * y1 - r * r * y2;
    [y2, y1] = [y1, y];
    return y;
  };
}

/** Rumble that swells as cars go by, with tyres' hiss; now and then a door. */
function street(d: Dice, length: Samples): Float32Array {
  const out = new Float32Array(length);
  const cars = Array.from({ length: Math.ceil(length / BANK_RATE / 4) }, () => ({
    at: d.between(0, length),
    width: d.between(0.6, 2.5) * BANK_RATE,
    size: d.between(0.5, 2),
  }));
  const doors = [d.between(0, length), d.between(0, length)];
  let [low, lower, high] = [0, 0, 0];
  for (let i = 0; i < length; i++) {
    const white = d.between(-1, 1);
    low += 0.02 * (white - low);
    lower += 0.02 * (low - lower);
    high += 0.25 * (white - high);
    let near = 0.4;
    for (const car of cars) near += car.size / (1 + ((i - car.at) / car.width) ** 2);
    out[i] = near * (6 * low + 8 * lower + 0.12 * high);
    for (const door of doors) {
      if (i > door && i < door + BANK_RATE / 5) {
        const t = (i - door) / BANK_RATE;
        out[i]! += 1.2 * Math.exp(-t / 0.03) * Math.sin(2 * Math.PI * 75 * t);
      }
    }
  }
  return out;
}

/** A refrigerator's hum, water, and things of metal and china. */
function kitchen(d: Dice, length: Samples): Float32Array {
  const out = new Float32Array(length);
  const turn = (2 * Math.PI * 50) / BANK_RATE;
  const runs = d.chance(0.5);
  let water = 0;
  for (let i = 0; i < length; i++) {
    water += 0.35 * (d.between(-1, 1) - water);
    const hum =
      Math.sin(2 * turn * i) + 0.5 * Math.sin(4 * turn * i) + 0.2 * Math.sin(6 * turn * i);
    out[i] = 0.05 * hum + (runs ? 0.16 * water : 0.03 * water);
  }
  for (let at = 0; at < length; at += Math.round(d.between(0.15, 1.6) * BANK_RATE))
    clink(out, at, d);
  return out;
}

function clink(out: Float32Array, from: Samples, d: Dice): void {
  const size = d.between(0.1, 1.1);
  const partials = Array.from({ length: 5 }, () => ({
    turn: (2 * Math.PI * d.between(900, 7500)) / BANK_RATE,
    fall: d.between(0.005, 0.09) * BANK_RATE,
    size: size * d.between(0.1, 0.5),
  }));
  for (let i = 0; i < BANK_RATE / 4 && from + i < out.length; i++) {
    for (const p of partials)
      out[from + i]! += p.size * Math.exp(-i / p.fall) * Math.sin(p.turn * i);
  }
}

/** Air, and the tone of the blades. */
function fan(d: Dice, length: Samples): Float32Array {
  const turn = (2 * Math.PI * d.between(85, 210)) / BANK_RATE;
  const blades = d.between(0.02, 0.12);
  let [low, lower] = [0, 0];
  return new Float32Array(length).map((_, i) => {
    const white = d.between(-1, 1);
    low += 0.12 * (white - low);
    lower += 0.03 * (white - lower);
    const tone = Math.sin(turn * i) + 0.6 * Math.sin(2 * turn * i) + 0.3 * Math.sin(3 * turn * i);
    return low + 0.8 * lower + blades * tone;
  });
}

/** GeneralUser GS, in Debian's minuet-data; no training, choice or former test heard its other instruments. */
const FONT = '/usr/share/minuet/soundfonts/GeneralUser-v1.47.sf2';
/** Songs that are invented once and cut into. */
const SONGS = 4;
const SONG_SECONDS = 90;

/** A song of another key and tempo: organ or piano, strings, a bass, a tune and drums. */
function radio(d: Dice, length: Samples, cache: string): Float32Array {
  return cutOf(songOf(Math.floor(d.between(0, SONGS)), cache), d, length);
}

/** A stretch of a song. */
export function cutOf(song: Float32Array, d: Dice, length: Samples): Float32Array {
  const from = Math.floor(d.between(0, Math.max(1, song.length - length)));
  return Float32Array.from({ length }, (_, i) => song[(from + i) % song.length]!);
}

/** Renders the songs that are not there yet. @throws Error where fluidsynth or its sound font is missing. */
export function readySongs(cache: string): void {
  for (let number = 0; number < SONGS; number++) songOf(number, cache);
}

const songOf = (number: number, cache: string): Float32Array =>
  renderedSong({ name: `song-${number}`, seed: 660 + number, font: FONT }, cache);

/** What a song is made from, and its file's name. */
export interface Song {
  readonly name: string;
  readonly seed: number;
  readonly font: string;
}

const songs = new Map<string, Float32Array>();
/** @throws Error where fluidsynth or the sound font is missing. */
export function renderedSong({ name, seed, font }: Song, cache: string): Float32Array {
  const known = songs.get(name);
  if (known) return known;
  const file = join(cache, `${name}.f32`);
  if (!existsSync(file)) {
    if (!existsSync(font)) {
      throw new Error(`${font} is missing: install Debian's minuet-data or denemo-data`);
    }
    mkdirSync(cache, { recursive: true });
    const [midi, raw] = [`${file}.mid`, `${file}.raw`];
    writeFileSync(midi, Uint8Array.from(writeMidi(inventSong(dice(seed)))));
    const options = `-ni -q -g 0.5 -r ${BANK_RATE} -T raw -O float -F`.split(' ');
    execFileSync('fluidsynth', [...options, raw, font, midi], { stdio: 'ignore' });
    const bytes = readFileSync(raw);
    const stereo = new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
    writeFileSync(
      file,
      stereo.filter((_, i) => i % 2 === 0),
    );
    rmSync(midi);
    rmSync(raw);
  }
  const bytes = readFileSync(file);
  const song = new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
  songs.set(name, song);
  return song;
}

/** General MIDI programs from 0, a part each; the drums are channel 10. */
const PARTS = {
  chords: [16, 0, 4],
  pad: [48, 50],
  bass: [32, 35, 38],
  tune: [65, 22, 71],
} as const;
const DRUMS = 9;

interface Note {
  readonly channel: number;
  readonly midi: number;
  readonly at: number;
  readonly length: number;
  readonly velocity: number;
}

function inventSong(d: Dice) {
  const beat = 60 / d.between(70, 150);
  const key = Math.floor(d.between(0, 12));
  const notes: Note[] = [];
  for (let at = 0.1; at < SONG_SECONDS; at += 4 * beat) {
    const degree = d.pick([0, 5, 7, 9, 2, 4]);
    const minor = [2, 4, 9].includes(degree);
    const tones = [0, minor ? 3 : 4, 7].map((t) => (key + degree + t) % 12);
    for (let k = 0; k < 4; k++) {
      const now = at + k * beat;
      notes.push({ channel: 2, midi: 36 + tones[0]!, at: now, length: 0.8 * beat, velocity: 95 });
      for (const tone of tones) {
        notes.push({ channel: 1, midi: 60 + tone, at, length: 4 * beat, velocity: 55 });
        if (k % 2 === 1)
          notes.push({ channel: 0, midi: 60 + tone, at: now, length: beat / 2, velocity: 75 });
      }
      const tune = 67 + ((key + d.pick([0, 2, 4, 5, 7, 9, 11])) % 12);
      if (d.chance(0.7))
        notes.push({
          channel: 3,
          midi: tune,
          at: now + d.pick([0, beat / 2]),
          length: beat,
          velocity: 90,
        });
      notes.push({
        channel: DRUMS,
        midi: k % 2 === 0 ? 36 : 38,
        at: now,
        length: 0.1,
        velocity: 100,
      });
      for (const half of [0, 0.5])
        notes.push({ channel: DRUMS, midi: 42, at: now + half * beat, length: 0.1, velocity: 60 });
    }
  }
  const programs = Object.values(PARTS).map((list) => d.pick<number>(list));
  return midiFile(programs, notes);
}

function midiFile(programs: readonly number[], notes: readonly Note[]) {
  const moments = notes
    .flatMap(({ channel, midi: noteNumber, at, length, velocity }) => [
      { at, event: { type: 'noteOn' as const, channel, noteNumber, velocity } },
      { at: at + length, event: { type: 'noteOff' as const, channel, noteNumber, velocity: 0 } },
    ])
    .toSorted((a, b) => a.at - b.at);
  const events: MidiEvent[] = [
    { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: 1_000_000 },
    ...programs.map((programNumber, channel) => ({
      ...{ deltaTime: 0, type: 'programChange' as const, channel, programNumber },
    })),
  ];
  let before = 0;
  for (const { at, event } of moments) {
    const tick = Math.round(1000 * at);
    events.push({ deltaTime: tick - before, ...event });
    before = tick;
  }
  events.push({ deltaTime: 0, type: 'endOfTrack' });
  return { header: { format: 0 as const, numTracks: 1, ticksPerBeat: 1000 }, tracks: [events] };
}
