// The guitar of the ear's test set: single notes rendered by fluidsynth, each with its measured physical onset.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { writeMidi } from 'midi-file';
import type { MidiEvent } from 'midi-file';
import { PitchDetector } from 'pitchy';
import type { Cents, Midi, Samples, SampleRate, Seconds } from '../../../app/core/base/units.ts';
import { stringGuitar } from './string-model.ts';

/** Debian package fluid-soundfont-gm. */
export const SOUND_FONT = '/usr/share/sounds/sf2/FluidR3_GM.sf2';
export const BANK_RATE: SampleRate = 44_100;
export const samplesIn = (seconds: Seconds): Samples => Math.round(seconds * BANK_RATE);

/**
 * A General MIDI 1 program (from 0) of a sound font (Fluid's where none is named) or of Freepats; single notes that were
 * recorded, from an npm package; a string model of this folder by its seed, or another one.
 */
export type Source =
  | { readonly program: number; readonly bank?: number; readonly font?: string }
  | { readonly freepats: number }
  | { readonly recorded: 'acoustic' | 'electric' | 'nylon' }
  | { readonly model: number }
  | { readonly notes: StringModel };

/** `length` samples of one pluck at {@link BANK_RATE}. */
export type StringModel = (midi: Midi, soft: boolean, length: Samples) => Float32Array;

/** Debian packages csound-soundfont and opl3-soundfont. */
const CSOUND = '/usr/share/sounds/sf2/sf_GMbank.sf2';
const OPL = '/usr/share/sounds/sf2/OPL-3_FM_128M.sf2';
/** Debian packages timidity and freepats. */
const FREEPATS = '/etc/timidity/freepats.cfg';

/**
 * Guitars that no training has met (tests/bench/ear-training/README.md lists which is on which side). Only the first six
 * and their takes are looked at while thresholds are chosen.
 */
const SOURCES = {
  jazz: { program: 26 },
  overdriven: { freepats: 29 },
  chip: { program: 24, font: OPL },
  'model one': { model: 71 },
  'model two': { model: 72 },
  'model three': { model: 73 },
  clean: { program: 27 },
  driven: { program: 30 },
  acoustic: { recorded: 'acoustic' },
  electric: { recorded: 'electric' },
  nylon: { recorded: 'nylon' },
  // For finding starts alone: the network's training and validation know these guitars.
  'csound-steel': { program: 25, font: CSOUND },
  'csound-clean': { program: 27, font: CSOUND },
  'opl-muted': { program: 25, font: OPL },
  'fluid-steel': { program: 25 },
  'fluid-nylon': { program: 24 },
  squeak: { program: 120 },
  bass: { program: 33 },
} as const satisfies Readonly<Record<string, Source>>;
export type Timbre = keyof typeof SOURCES;

interface Compass {
  readonly lowest: Midi;
  readonly highest: Midi;
}
/** Standard tuning up to fret 20. */
const USUAL: Compass = { lowest: 40, highest: 84 };
const pitchesIn = ({ lowest, highest }: Compass): number => highest - lowest + 1;
const VELOCITIES = [60, 105] as const;
/** Notes start every 4 s and are held 3.2 s; 3 s of each are kept. */
const SPACING_MS = 4_000;
const HELD_MS = 3_200;
const KEPT: Samples = 3 * BANK_RATE;
const FADE: Samples = 0.3 * BANK_RATE;

export interface BankNote {
  /** −1 to 1, one channel, from the MIDI note-on. */
  readonly samples: Float32Array;
  /** Where the sound itself begins, by {@link physicalOnset}. */
  readonly onset: Samples;
}

export type Bank = (midi: Midi, velocity: number) => BankNote;

/** One instrument; renders it into `cache` if it is not there yet. @throws Error when fluidsynth or the sound font is missing. */
export const openBank = (timbre: Timbre, cache: string): Bank =>
  openNotes(timbre, SOURCES[timbre], cache, USUAL);

/** Any source by a name of its own, which its file in `cache` takes. */
export function openNotes(name: string, source: Source, cache: string, compass: Compass): Bank {
  const kept = keptNotes(name, source, cache, compass);
  const pitches = pitchesIn(compass);
  const { lowest, highest } = compass;
  const notes = Array.from({ length: VELOCITIES.length * pitches }, (_, k) => {
    const samples = kept.subarray(k * KEPT, (k + 1) * KEPT);
    return { samples, onset: physicalOnset(samples, BANK_RATE) };
  });
  return (midi, velocity) => {
    const layer = velocity < 85 ? 0 : 1;
    const note = notes[layer * pitches + (midi - lowest)];
    if (!note || midi < lowest || midi > highest)
      throw new RangeError(`note bank: MIDI ${midi} is outside ${lowest}–${highest}`);
    return note;
  };
}

/**
 * Where a lone note begins: the first 1 ms window, moved by 0.25 ms, whose energy reaches 1 % (−20 dB) of
 * the loudest such window in the note's first 100 ms. It looks at nothing but a silent background, so it
 * shares no step with the detector under test. The window's middle is returned.
 */
export function physicalOnset(samples: Float32Array, rate: SampleRate): Samples {
  const window = Math.round(rate * 0.001);
  const hop = Math.round(rate * 0.00025);
  const energies: number[] = [];
  for (let at = 0; at + window <= Math.min(samples.length, rate * 0.25); at += hop) {
    energies.push(samples.subarray(at, at + window).reduce((sum, x) => sum + x * x, 0));
  }
  const stirs = energies.findIndex((e) => e > 1e-9);
  const loudest = Math.max(...energies.slice(stirs, stirs + Math.round((rate * 0.1) / hop)));
  const first = energies.findIndex((e) => e >= loudest * 0.01);
  return Math.max(0, first) * hop + Math.round(window / 2);
}

function keptNotes(name: string, source: Source, cache: string, compass: Compass): Float32Array {
  const file = join(cache, `bank-${name}.f32`);
  if (!existsSync(file)) {
    mkdirSync(cache, { recursive: true });
    writeFileSync(file, notesOf(source, name, cache, compass));
  }
  const bytes = readFileSync(file);
  return new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
}

function notesOf(source: Source, name: string, cache: string, compass: Compass): Float32Array {
  if ('recorded' in source) return recordedNotes(source.recorded, compass);
  if ('model' in source) return modelledNotes(stringGuitar(source.model, BANK_RATE), compass);
  if ('notes' in source) return modelledNotes(source.notes, compass);
  const [midi, raw] = [join(cache, `bank-${name}.mid`), join(cache, `bank-${name}.raw`)];
  const program = 'freepats' in source ? source.freepats : source.program;
  const bank = 'freepats' in source ? 0 : (source.bank ?? 0);
  writeFileSync(midi, Uint8Array.from(writeMidi(scaleOfNotes(program, bank, compass))));
  if ('freepats' in source) {
    const sound = renderFreepats(midi, raw);
    return keepOneChannel(sound, compass);
  }
  return keepOneChannel(renderStereo(source.font ?? SOUND_FONT, midi, raw), compass);
}

/** Every pitch softly, then every pitch hard. */
function modelledNotes(guitar: StringModel, compass: Compass): Float32Array {
  const pitches = pitchesIn(compass);
  const kept = new Float32Array(VELOCITIES.length * pitches * KEPT);
  for (let k = 0; k < VELOCITIES.length * pitches; k++) {
    kept.set(guitar(compass.lowest + (k % pitches), k < pitches, KEPT), k * KEPT);
  }
  return kept.map((x, i) => x * Math.min(1, (KEPT - (i % KEPT)) / FADE));
}

function renderFreepats(midi: string, raw: string): Float32Array {
  if (!existsSync(FREEPATS)) {
    throw new Error(`${FREEPATS} is missing: install timidity and freepats`);
  }
  const options = `-c ${FREEPATS} -Or1sl -s ${BANK_RATE} --reverb=d --chorus=d -o`.split(' ');
  execFileSync('timidity', [...options, raw, midi], { stdio: 'ignore' });
  const bytes = taken(raw, midi);
  return Float32Array.from(
    { length: bytes.length >> 1 },
    (_, i) => bytes.readInt16LE(2 * i) / 2 ** 15,
  );
}

/** Debian packages that hold a sound font. */
const FONT_PACKAGES =
  'fluid-soundfont-gm, opl3-soundfont, csound-soundfont, minuet-data or denemo-data';

function renderStereo(font: string, midi: string, raw: string): Float32Array {
  if (!existsSync(font)) {
    throw new Error(`${font} is missing: install fluidsynth and Debian's ${FONT_PACKAGES}`);
  }
  // No reverb, no chorus: the room is added later, where its size is known.
  const options = `-ni -q -R 0 -C 0 -g 0.6 -r ${BANK_RATE} -T raw -O float -F`.split(' ');
  execFileSync('fluidsynth', [...options, raw, font, midi], { stdio: 'ignore' });
  if (!existsSync(raw)) throw new Error('fluidsynth rendered nothing');
  const bytes = taken(raw, midi);
  return new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
}

/** What was rendered; nothing of the way there is left. */
function taken(raw: string, midi: string): Buffer {
  const bytes = readFileSync(raw);
  rmSync(raw);
  rmSync(midi);
  return bytes;
}

/** Every note at every velocity, one tick to the millisecond. */
function scaleOfNotes(program: number, bank: number, { lowest, highest }: Compass) {
  const head: MidiEvent[] = [
    { deltaTime: 0, type: 'setTempo', microsecondsPerBeat: 1_000_000 },
    { deltaTime: 0, type: 'controller', channel: 0, controllerType: 0, value: bank },
    { deltaTime: 0, type: 'programChange', channel: 0, programNumber: program },
  ];
  const events = [...head];
  for (const velocity of VELOCITIES) {
    for (let noteNumber = lowest; noteNumber <= highest; noteNumber++) {
      const wait = events.length === head.length ? 0 : SPACING_MS - HELD_MS;
      events.push({ deltaTime: wait, type: 'noteOn', channel: 0, noteNumber, velocity });
      events.push({ deltaTime: HELD_MS, type: 'noteOff', channel: 0, noteNumber, velocity: 0 });
    }
  }
  events.push({ deltaTime: SPACING_MS - HELD_MS, type: 'endOfTrack' });
  return { header: { format: 0 as const, numTracks: 1, ticksPerBeat: 1000 }, tracks: [events] };
}

/** fluidsynth renders interleaved stereo; a guitar is heard in one channel. */
function keepOneChannel(stereo: Float32Array, compass: Compass): Float32Array {
  const spacing = (SPACING_MS / 1000) * BANK_RATE;
  const kept = new Float32Array(VELOCITIES.length * pitchesIn(compass) * KEPT);
  for (let i = 0; i < kept.length; i++) {
    const at = 2 * (Math.floor(i / KEPT) * spacing + (i % KEPT));
    // The cut at 3 s must not tick.
    const fade = Math.min(1, (KEPT - (i % KEPT)) / FADE);
    kept[i] = (fade * ((stereo[at] ?? 0) + (stereo[at + 1] ?? 0))) / 2;
  }
  return kept;
}

/** A recording is named wrongly if it sounds farther off than this, octaves apart: the nylon guitar's D5 is a D sharp. */
const MISNAMED_BY: Cents = 50;
const LISTENED: Samples = 8192;

function soundsItsName(midi: Midi, sound: Float32Array): boolean {
  const from = 0.08 * BANK_RATE;
  const detector = PitchDetector.forFloat32Array(LISTENED);
  const [hertz] = detector.findPitch(sound.subarray(from, from + LISTENED), BANK_RATE);
  const semitones = 69 + 12 * Math.log2(hertz / 440) - midi;
  return 100 * Math.abs(semitones - 12 * Math.round(semitones / 12)) <= MISNAMED_BY;
}

const NOTE_NAMES = ['C', 'Cs', 'D', 'Ds', 'E', 'F', 'Fs', 'G', 'Gs', 'A', 'As', 'B'];

/** Samples of real guitars (CC BY 3.0), decoded by sox; a pitch between two takes the nearer one, resampled. */
function recordedNotes(guitar: string, compass: Compass): Float32Array {
  const index = createRequire(import.meta.url).resolve(`tonejs-instrument-guitar-${guitar}-mp3`);
  const recorded = new Map<Midi, Float32Array>();
  for (const file of readdirSync(dirname(index))) {
    const [, name, octave] = /^([A-G]s?)(\d)\.mp3$/.exec(file) ?? [];
    if (name === undefined) continue;
    const midi = NOTE_NAMES.indexOf(name) + 12 * (Number(octave) + 1);
    const sound = decoded(join(dirname(index), file));
    if (soundsItsName(midi, sound)) recorded.set(midi, sound);
  }
  const { lowest } = compass;
  const pitches = pitchesIn(compass);
  const kept = new Float32Array(VELOCITIES.length * pitches * KEPT);
  for (let i = 0; i < pitches; i++) {
    const [near, source] = nearestOf(recorded, lowest + i);
    const ratio = 2 ** ((lowest + i - near) / 12);
    for (let k = 0; k < KEPT; k++) {
      const whole = Math.floor(k * ratio);
      const [a, b] = [source[whole] ?? 0, source[whole + 1] ?? 0];
      const x = Math.min(1, (KEPT - k) / FADE) * (a + (k * ratio - whole) * (b - a));
      kept[(pitches + i) * KEPT + k] = x;
      // Played softly it is softer and, since nothing softer was recorded, a little darker.
      const before = kept[i * KEPT + k - 1] ?? 0;
      kept[i * KEPT + k] = k === 0 ? 0.2 * x : 0.6 * before + 0.4 * 0.33 * x;
    }
  }
  return kept;
}

const nearestOf = (recorded: ReadonlyMap<Midi, Float32Array>, midi: Midi) =>
  [...recorded].toSorted(([a], [b]) => Math.abs(a - midi) - Math.abs(b - midi))[0]!;

/** One channel, from 5 ms before it is first heard. */
function decoded(file: string): Float32Array {
  const options = `-t raw -e float -b 32 -r ${BANK_RATE} -c 1 - trim 0 5`.split(' ');
  const bytes = execFileSync('sox', [file, ...options], {
    maxBuffer: 2 ** 26,
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  const sound = new Float32Array(bytes.length >> 2).map((_, i) => bytes.readFloatLE(4 * i));
  const peak = sound.reduce((most, x) => Math.max(most, Math.abs(x)), 1e-9);
  const first = sound.findIndex((x) => Math.abs(x) > 0.02 * peak);
  return sound.subarray(Math.max(0, first - 0.005 * BANK_RATE)).map((x) => (0.25 * x) / peak);
}
