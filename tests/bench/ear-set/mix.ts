// Turns a planned take into sound: bank notes at exact samples, then detuning, room, noise and click bleed.
import { passBand } from '../band.ts';
import { renderVoices } from '../../../app/core/sound/voices.ts';
import type { Cents, Samples } from '../../../app/core/base/units.ts';
import { BANK_RATE } from './bank.ts';
import type { Bank, BankNote } from './bank.ts';
import type { Level, Pluck, TakePlan } from './plan.ts';
import { dice } from './random.ts';
import type { Dice } from './random.ts';

export interface LevelRecipe {
  /** Noise below the guitar's own level (root mean square over the take), dB. */
  readonly noise: number;
  /** Time for the room to fall by 60 dB, and its energy beside the direct sound, dB; null is no room. */
  readonly room: { readonly seconds: number; readonly wet: number } | null;
  /** Peak of the click beside the guitar's peak, dB; null is headphones. */
  readonly bleed: number | null;
  /** A bass that plays something else beside the guitar's level, dB. */
  readonly beside?: number;
  /** Hertz below and above which the microphone hears less (6 dB an octave). */
  readonly hears?: readonly [number, number];
}

const LEVEL_RECIPES: Readonly<Record<Level, LevelRecipe>> = {
  quiet: { noise: -60, room: null, bleed: null },
  room: { noise: -40, room: { seconds: 0.25, wet: -10 }, bleed: null },
  noisy: { noise: -22, room: { seconds: 0.4, wet: -7 }, bleed: null },
  loudspeaker: { noise: -35, room: { seconds: 0.3, wet: -9 }, bleed: -10 },
  music: { noise: -40, room: { seconds: 0.3, wet: -10 }, bleed: null, beside: -14 },
  bedroom: { noise: -45, room: { seconds: 0.18, wet: -8 }, bleed: null, hears: [60, 7_000] },
  kitchen: { noise: -34, room: { seconds: 0.55, wet: -7 }, bleed: null },
  window: { noise: -20, room: { seconds: 0.3, wet: -10 }, bleed: null },
  laptop: { noise: -30, room: { seconds: 0.35, wet: -8 }, bleed: -6, hears: [180, 5_000] },
  neighbours: { noise: -38, room: { seconds: 0.4, wet: -9 }, bleed: -16, beside: -16 },
};

/** The take at 44,100 Hz, one channel, peak between −18 and −3 dBFS. */
export function renderTake(plan: TakePlan, bank: Bank, squeak: Bank, bass: Bank): Float32Array {
  const d = dice(plan.seed ^ 0x5eed);
  const recipe = LEVEL_RECIPES[plan.level];
  const guitar = playStrokes(plan, bank, d);
  plan.squeaks.forEach((at) => addNote(guitar, squeak(60, 60), at, 0, 0.25, null));
  if (recipe.beside !== undefined) addBass(guitar, plan, bass, recipe.beside, d);
  const heard = addClicks(guitar, plan, recipe, d);
  const inRoom = recipe.room ? withRoom(heard, recipe.room, d) : heard;
  addNoise(inRoom, rms(guitar) * 10 ** (recipe.noise / 20), d);
  if (recipe.hears) passBand(inRoom, ...recipe.hears);
  return scaledTo(inRoom, 10 ** (d.between(-18, -3) / 20));
}

function playStrokes(plan: TakePlan, bank: Bank, d: Dice): Float32Array {
  const out = new Float32Array(Math.round(plan.length * BANK_RATE));
  const offsets = Array.from({ length: 6 }, () => plan.detune + d.normal(0, 2));
  for (const [i, stroke] of plan.strokes.entries()) {
    for (const pluck of stroke.plucks) {
      const gain = (pluck.velocity / 105) * (pluck.velocity < 85 ? 3 : 1);
      const note = bank(pluck.midi, pluck.velocity);
      addNote(out, note, pluck.at, offsets[pluck.string]!, gain, endOf(plan, i, pluck));
    }
  }
  return out;
}

interface End {
  readonly at: Samples;
  /** Samples for the sound to fall to 1/e. */
  readonly fall: Samples;
}

/** A string stops when it is struck again (at once) or lifted (a little slower); dead strings at once. */
function endOf(plan: TakePlan, i: number, pluck: Pluck): End | null {
  if (pluck.dead) return { at: pluck.at * BANK_RATE, fall: 0.012 * BANK_RATE };
  if (pluck.weak) return { at: (pluck.at + 0.008) * BANK_RATE, fall: 0.03 * BANK_RATE };
  for (const later of plan.strokes.slice(i + 1)) {
    const again = later.plucks.find((p) => p.string === pluck.string);
    const lifted = later.lifted.find((l) => l.string === pluck.string);
    if (lifted) return { at: lifted.at * BANK_RATE, fall: 0.02 * BANK_RATE };
    if (again) return { at: (again.at - 0.004) * BANK_RATE, fall: 0.002 * BANK_RATE };
  }
  return null;
}

/** Lays a note so that its measured physical onset falls on `at`, retuned by linear interpolation. */
function addNote(
  out: Float32Array,
  note: BankNote,
  at: number,
  cents: Cents,
  gain: number,
  end: End | null,
): void {
  const ratio = 2 ** (cents / 1200);
  const origin = at * BANK_RATE - note.onset / ratio;
  for (let i = Math.max(0, Math.ceil(origin)); i < out.length; i++) {
    const from = (i - origin) * ratio;
    const whole = Math.floor(from);
    if (whole + 1 >= note.samples.length) return;
    const x =
      note.samples[whole]! + (from - whole) * (note.samples[whole + 1]! - note.samples[whole]!);
    const held = end && i > end.at ? Math.exp(-(i - end.at) / end.fall) : 1;
    if (held < 1e-4) return;
    out[i]! += x * gain * held;
  }
}

/** Notes of no key, every two beats, from another room. */
function addBass(out: Float32Array, plan: TakePlan, bass: Bank, level: number, d: Dice): void {
  const line = new Float32Array(out.length);
  const step = 120 / plan.bpm;
  for (let at = 0.1; at < plan.length - 0.5; at += step * d.pick([0.5, 1, 1])) {
    const end = { at: (at + 0.9 * step) * BANK_RATE, fall: 0.03 * BANK_RATE };
    addNote(line, bass(40 + Math.floor(d.between(0, 12)), 105), at, 0, 1, end);
  }
  const gain = (rms(out) / rms(line)) * 10 ** (level / 20);
  for (let i = 0; i < out.length; i++) out[i]! += gain * line[i]!;
}

function addClicks(
  guitar: Float32Array,
  plan: TakePlan,
  recipe: LevelRecipe,
  d: Dice,
): Float32Array {
  if (recipe.bleed === null) return guitar;
  const out = guitar.slice();
  const voices = renderVoices(BANK_RATE);
  const gain = peak(guitar) * 10 ** ((recipe.bleed + d.between(-6, 6)) / 20);
  // The loudspeaker stands 0.3–1 m away: 1 to 3 ms.
  const way = d.between(0.001, 0.003);
  for (const click of plan.clicks) {
    const from = Math.round((click.at + way) * BANK_RATE);
    voices[click.voice].forEach((x, i) => (out[from + i]! += gain * x));
  }
  return out;
}

/** Exponentially falling noise as impulse response, thinned to 400 reflections so that it costs little. */
function withRoom(
  dry: Float32Array,
  room: NonNullable<LevelRecipe['room']>,
  d: Dice,
): Float32Array {
  const taps = Array.from({ length: 400 }, () => {
    const at = d.between(0.003, room.seconds);
    return {
      delay: Math.round(at * BANK_RATE),
      gain: d.normal(0, 1) * 10 ** ((-3 * at) / room.seconds),
    };
  });
  const energy = Math.sqrt(taps.reduce((sum, t) => sum + t.gain ** 2, 0));
  const wet = 10 ** (room.wet / 20) / energy;
  const out = dry.slice();
  for (const { delay, gain } of taps) {
    const g = gain * wet;
    for (let i = delay; i < out.length; i++) out[i]! += g * dry[i - delay]!;
  }
  return out;
}

/** Noise that falls by 6 dB an octave above about 350 Hz, like a room with a fan. */
function addNoise(out: Float32Array, level: number, d: Dice): void {
  const noise = new Float32Array(out.length);
  let state = 0;
  for (let i = 0; i < noise.length; i++) {
    state = 0.95 * state + d.between(-1, 1);
    noise[i] = state;
  }
  const gain = level / rms(noise);
  for (let i = 0; i < out.length; i++) out[i]! += gain * noise[i]!;
}

const rms = (x: Float32Array): number => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
const peak = (x: Float32Array): number => x.reduce((most, v) => Math.max(most, Math.abs(v)), 0);

function scaledTo(x: Float32Array, top: number): Float32Array {
  const gain = top / peak(x);
  return x.map((v) => v * gain);
}
