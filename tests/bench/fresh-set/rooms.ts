// From the guitar's sound to what a microphone hears of it: amplifier, room, what else sounds, microphone.
import { passBand } from '../band.ts';
import { renderVoices } from '../../../app/core/sound/voices.ts';
import { BANK_RATE } from '../ear-set/bank.ts';
import type { Dice } from '../ear-set/random.ts';
import type { KnownClick } from '../../../app/core/ear/clicks.ts';
import { isAtHome, noiseAtHome, type NoiseAtHome } from './fresh-d/noises.ts';
import { ROOMS_AT_HOME } from './fresh-d/rooms.ts';
import { type Noise, noiseOf } from './noises.ts';
import { isToChoose, noiseToChoose, type NoiseToChoose } from './noises-to-choose.ts';
import { type Automatic, type Home, type Recipe, USUAL_WALLS } from './recipe.ts';

type Kind = Noise | NoiseToChoose | NoiseAtHome;

/** No former part has these rooms; levels are drawn anew for each take. */
export const ROOMS = {
  lounge: {
    ...{ rings: [0.35, 0.6], wet: [-12, -7], hiss: [-50, -40] },
    beside: { kind: 'television', level: [-26, -14] },
    hears: { low: [50, 100], high: [7_000, 12_000] },
  },
  street: {
    ...{ rings: [0.2, 0.4], wet: [-14, -9], hiss: [-50, -40] },
    beside: { kind: 'street', level: [-26, -14] },
    hears: { low: [60, 120], high: [6_000, 12_000] },
  },
  kitchen: {
    ...{ rings: [0.5, 0.9], wet: [-9, -5], hiss: [-48, -38] },
    beside: { kind: 'kitchen', level: [-28, -16] },
    hears: { low: [60, 120], high: [6_000, 10_000] },
  },
  desk: {
    ...{ rings: [0.2, 0.45], wet: [-12, -7], hiss: [-45, -36] },
    beside: { kind: 'fan', level: [-32, -20] },
    clicks: { level: [-18, -4], way: [0.001, 0.006] },
    hears: { low: [120, 220], high: [4_500, 8_000] },
  },
  radio: {
    ...{ rings: [0.3, 0.5], wet: [-11, -7], hiss: [-50, -40] },
    beside: { kind: 'radio', level: [-28, -16] },
    hears: { low: [60, 110], high: [7_000, 12_000] },
  },
  phone: {
    ...{ rings: [0.15, 0.35], wet: [-15, -8], hiss: [-44, -32] },
    hears: { low: [110, 260], high: [3_800, 8_000] },
    automatic: { down: 0.02, up: 0.4, takes: 2 / 3 },
  },
} as const satisfies Readonly<Record<string, Recipe<Kind>>>;

/** As hard, for choosing: like those in kind, and none of their noises. */
export const ROOMS_TO_CHOOSE = {
  scullery: {
    ...{ rings: [0.5, 1], wet: [-9, -5], hiss: [-48, -38] },
    beside: { kind: 'dishes', level: [-27, -15] },
    hears: { low: [70, 140], high: [5_500, 10_000] },
  },
  workshop: {
    ...{ rings: [0.3, 0.6], wet: [-11, -7], hiss: [-50, -40] },
    beside: { kind: 'wireless', level: [-27, -15] },
    clicks: { level: [-20, -8], way: [0.001, 0.008] },
    hears: { low: [60, 120], high: [6_000, 12_000] },
  },
  recorder: {
    ...{ rings: [0.15, 0.4], wet: [-14, -8], hiss: [-42, -30] },
    beside: { kind: 'handling', level: [-34, -22] },
    hears: { low: [130, 240], high: [3_400, 7_000] },
    automatic: { down: 0.006, up: 0.2, takes: 0.75 },
  },
  stairwell: {
    ...{ rings: [0.9, 1.5], wet: [-9, -5], hiss: [-50, -40] },
    beside: { kind: 'steps', level: [-30, -18] },
    hears: { low: [60, 120], high: [6_000, 12_000] },
  },
  attic: {
    ...{ rings: [0.2, 0.4], wet: [-13, -8], hiss: [-48, -38] },
    beside: { kind: 'rain', level: [-27, -15] },
    hears: { low: [80, 160], high: [5_000, 10_000] },
  },
} as const satisfies Readonly<Record<string, Recipe<Kind>>>;

export type Room = keyof typeof ROOMS | keyof typeof ROOMS_TO_CHOOSE | keyof typeof ROOMS_AT_HOME;
const ALL: Readonly<Record<Room, Recipe<Kind>>> = {
  ...ROOMS,
  ...ROOMS_TO_CHOOSE,
  ...ROOMS_AT_HOME,
};

/** Peak between −18 and −3 dBFS. */
export function recorded(
  guitar: Float32Array,
  home: Home<Room>,
  d: Dice,
  cache: string,
): Float32Array {
  const room = ALL[home.room];
  const sound = guitar.slice();
  const { clicks } = home.expectation;
  if (room.clicks && clicks.length > 0) addClicks(sound, clicks, room.clicks, d);
  const heard = inRoom(sound, room, d);
  const usual = rms(guitar);
  if (room.beside) {
    const noise = noiseIn(room.beside.kind, d, heard.length, { ...home, cache });
    const gain = (usual * 10 ** (d.between(...room.beside.level) / 20)) / rms(noise);
    for (let i = 0; i < heard.length; i++) heard[i]! += gain * noise[i]!;
  }
  const hiss = usual * 10 ** (d.between(...room.hiss) / 20) * Math.sqrt(3);
  for (let i = 0; i < heard.length; i++) heard[i]! += hiss * d.between(-1, 1);
  passBand(heard, d.between(...room.hears.low), d.between(...room.hears.high));
  if (room.automatic) setLevel(heard, room.automatic);
  const gain = 10 ** (d.between(-18, -3) / 20) / peak(heard);
  return heard.map((x) => gain * x);
}

function noiseIn(
  kind: Kind,
  d: Dice,
  length: number,
  { expectation, cache }: Home<Room> & { readonly cache: string },
): Float32Array {
  if (isToChoose(kind)) return noiseToChoose(kind, d, length, cache);
  return isAtHome(kind)
    ? noiseAtHome(kind, d, length, expectation)
    : noiseOf(kind, d, length, cache);
}

/** An electric guitar's amplifier: the strings together are bent by its valves, then go through a loudspeaker. */
export function amplified(guitar: Float32Array, drive: number): Float32Array {
  const gain = drive / peak(guitar);
  const out = guitar.slice();
  passBand(out, 140, 9_000);
  for (let i = 0; i < out.length; i++) {
    // Unlike on both sides, as a single valve is.
    const x = gain * out[i]! + 0.15;
    out[i] = Math.tanh(x) - Math.tanh(0.15);
  }
  for (let k = 0; k < 2; k++) passBand(out, 75, 4_200);
  return out;
}

function addClicks(
  sound: Float32Array,
  clicks: readonly KnownClick[],
  { level, way }: NonNullable<Recipe<Kind>['clicks']>,
  d: Dice,
): void {
  const voices = renderVoices(BANK_RATE);
  const gain = peak(sound) * 10 ** (d.between(...level) / 20);
  const far = d.between(...way);
  for (const click of clicks) {
    const from = Math.round((click.at + far) * BANK_RATE);
    voices[click.voice].forEach((x, i) => {
      if (from + i >= 0 && from + i < sound.length) sound[from + i]! += gain * x;
    });
  }
}

/** Lengths of eight delay lines in samples, without common factors; each room stretches them. */
const LINES = [887, 1031, 1213, 1399, 1597, 1789, 1987, 2203];

/** A feedback delay network with a Householder matrix, damped above (Jot & Chaigne 1991), after six early reflections. */
function inRoom(dry: Float32Array, room: Recipe<Kind>, d: Dice): Float32Array {
  const rings = d.between(...room.rings);
  const wet = 10 ** (d.between(...room.wet) / 20);
  const size = d.between(0.6, 1.5);
  const lines = LINES.map((length) => new Float32Array(Math.round(size * length)));
  const gains = lines.map((line) => 10 ** ((-3 * line.length) / BANK_RATE / rings));
  const early = Array.from({ length: 6 }, () => ({
    delay: Math.round(d.between(0.002, 0.03) * BANK_RATE),
    gain: d.pick([-1, 1]) * d.between(0.1, 0.35),
  }));
  const damped = d.between(...(room.swallows ?? USUAL_WALLS));
  const lows = new Float64Array(lines.length);
  const tail = new Float32Array(dry.length);
  const came = new Float64Array(lines.length);
  for (let i = 0; i < dry.length; i++) {
    let [sum, out] = [0, 0];
    for (let k = 0; k < lines.length; k++) {
      const x = gains[k]! * lines[k]![i % lines[k]!.length]!;
      lows[k]! += (1 - damped) * (x - lows[k]!);
      came[k] = lows[k]!;
      sum += lows[k]!;
      out += k % 2 === 0 ? lows[k]! : -lows[k]!;
    }
    const mixed = (2 / lines.length) * sum;
    for (let k = 0; k < lines.length; k++) {
      lines[k]![i % lines[k]!.length] = dry[i]! + came[k]! - mixed;
    }
    tail[i] = out;
    for (const { delay, gain } of early) if (i >= delay) tail[i]! += gain * dry[i - delay]!;
  }
  const gain = (wet * rms(dry)) / (rms(tail) + 1e-12);
  return dry.map((x, i) => x + gain * tail[i]!);
}

/** Above a tenth of the peak. */
function setLevel(x: Float32Array, automatic: Automatic): void {
  const threshold = 0.1 * peak(x);
  const [down, up] = [1 / (automatic.down * BANK_RATE), 1 / (automatic.up * BANK_RATE)];
  let level = 0;
  for (let i = 0; i < x.length; i++) {
    const size = Math.abs(x[i]!);
    level += (size > level ? down : up) * (size - level);
    if (level > threshold) x[i]! *= (threshold / level) ** automatic.takes;
  }
}

const rms = (x: Float32Array): number => {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i]! * x[i]!;
  return Math.sqrt(sum / x.length) + 1e-12;
};
const peak = (x: Float32Array): number => {
  let most = 1e-9;
  for (let i = 0; i < x.length; i++) most = Math.max(most, Math.abs(x[i]!));
  return most;
};
