// A take of the fresh set as sound: every string from its measured onset to its end, then the room.
import type { Samples } from '../../../app/core/base/units.ts';
import { BANK_RATE, type Bank, type BankNote } from '../ear-set/bank.ts';
import { dice, type Dice } from '../ear-set/random.ts';
import { throughTransistors } from './fresh-d/amplifier.ts';
import { bankOf, GUITARS } from './guitars.ts';
import type { FreshPlan, Sounding } from './model.ts';
import { amplified, recorded } from './rooms.ts';

/** At {@link BANK_RATE}, one channel. */
export function renderTake(plan: FreshPlan, cache: string): Float32Array {
  const d = dice(plan.seed ^ 0x50f7);
  const guitar = GUITARS[plan.part][plan.timbre]!;
  const strings = playStrings(
    plan,
    bankOf(plan.part, plan.timbre, cache),
    guitar.pairs === true,
    d,
  );
  const amplifier = guitar.transistors ? throughTransistors : amplified;
  const sound = guitar.drive ? amplifier(strings, d.between(...guitar.drive)) : strings;
  return recorded(sound, { room: plan.level, expectation: plan.expectation }, d, cache);
}

/** Cents by which one string lies beside the next, and by which the two of a pair do. */
const STRING_CENTS = 2;
const PAIR_CENTS = 3;

function playStrings(plan: FreshPlan, bank: Bank, pairs: boolean, d: Dice): Float32Array {
  const out = new Float32Array(Math.round(plan.length * BANK_RATE));
  const detuned = Array.from({ length: 6 }, () => plan.detune + d.normal(0, STRING_CENTS));
  const paired = Array.from({ length: 6 }, () => plan.detune + d.normal(0, PAIR_CENTS));
  for (const sounding of plan.sounding) {
    const { string, midi } = sounding;
    addString(out, bank, sounding, detuned[string]!, d);
    if (!pairs) continue;
    const octave = string < 4 ? 12 : 0;
    const beside = {
      ...sounding,
      at: sounding.at + d.between(0.0005, 0.003),
      force: 0.8 * sounding.force,
    };
    addString(out, bank, { ...beside, midi: midi + octave }, paired[string]!, d);
  }
  if (d.chance(0.3)) addSqueaks(out, plan, d);
  return out;
}

function addString(out: Float32Array, bank: Bank, s: Sounding, cents: number, d: Dice): void {
  const velocity = 40 + 75 * s.force;
  const soft = velocity < 85;
  const note = bank(s.midi, velocity);
  const gain = s.force * (soft ? 3 : 1);
  const ratio = 2 ** (cents / 1200);
  const origin = s.at * BANK_RATE - note.onset / ratio;
  const stop = s.until * BANK_RATE;
  const fall = s.fall * BANK_RATE;
  addTone(out, note, { ratio, origin, gain, stop, fall });
  const size = gain * loudestOf(note);
  if (s.thud > 0) addThud(out, s, size, d);
  if (s.buzz > 0) addBuzz(out, s, size, d);
}

interface Tone {
  readonly ratio: number;
  readonly origin: number;
  readonly gain: number;
  readonly stop: Samples;
  readonly fall: Samples;
}

function addTone(out: Float32Array, { samples }: BankNote, tone: Tone): void {
  const { ratio, origin, gain, stop, fall } = tone;
  const last = Math.min(
    out.length,
    Math.floor(origin + (samples.length - 2) / ratio),
    stop + 9 * fall,
  );
  let held = 1;
  const shrink = Math.exp(-1 / fall);
  for (let i = Math.max(0, Math.ceil(origin)); i < last; i++) {
    const from = (i - origin) * ratio;
    const whole = Math.floor(from);
    const low = samples[whole]!;
    if (i > stop) held *= shrink;
    out[i]! += gain * held * (low + (from - whole) * (samples[whole + 1]! - low));
  }
}

/** Of the first 60 ms. */
const loudestOf = ({ samples, onset }: BankNote): number =>
  samples
    .subarray(onset, onset + 0.06 * BANK_RATE)
    .reduce((most, x) => Math.max(most, Math.abs(x)), 0);

/** Skin and wood under a string that cannot sound, 10 to 60 ms long. */
function addThud(out: Float32Array, { at, thud }: Sounding, size: number, d: Dice): void {
  const from = Math.round(at * BANK_RATE);
  const turn = (2 * Math.PI * d.between(110, 420)) / BANK_RATE;
  const fall = d.between(0.004, 0.02) * BANK_RATE;
  let low = 0;
  for (let i = 0; i < 4 * fall && from + i < out.length; i++) {
    low += 0.2 * (d.between(-1, 1) - low);
    out[from + i]! += size * thud * Math.exp(-i / fall) * (0.5 * Math.sin(turn * i) + low);
  }
}

/** The string beats on the fret once a period while it dies. */
function addBuzz(
  out: Float32Array,
  { at, midi, buzz, fall }: Sounding,
  size: number,
  d: Dice,
): void {
  const from = Math.round(at * BANK_RATE);
  const period = BANK_RATE / (440 * 2 ** ((midi - 69) / 12));
  const length = fall * BANK_RATE;
  let before = 0;
  for (let i = 0; i < 4 * length && from + i < out.length; i++) {
    const white = d.between(-1, 1);
    const beats = Math.exp((-8 * (i % period)) / period);
    out[from + i]! += size * buzz * Math.exp(-i / length) * beats * (white - before);
    before = white;
  }
}

/** Fingers along wound strings, between one chord and the next. */
function addSqueaks(out: Float32Array, { changes }: FreshPlan, d: Dice): void {
  for (const { due } of changes.slice(1)) {
    if (!d.chance(0.5)) continue;
    const from = Math.round((due - d.between(0.04, 0.16)) * BANK_RATE);
    const length = d.between(0.03, 0.12) * BANK_RATE;
    const [start, end] = [d.between(900, 3000), d.between(900, 3000)];
    const size = d.between(0.01, 0.05);
    let phase = 0;
    for (let i = 0; i < length && from + i < out.length; i++) {
      const share = i / length;
      phase += (2 * Math.PI * (start + share * (end - start))) / BANK_RATE;
      out[from + i]! +=
        size * Math.sin(Math.PI * share) * (Math.sin(phase) + 0.4 * d.between(-1, 1));
    }
  }
}
