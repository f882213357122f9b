// Lead lines as sound: fluidsynth's sampled guitars, played back along the exact pitch curves of the tones.
import { EAR_RATE, resampled } from '../../../app/core/ear/rate.ts';
import {
  leadTones,
  pitchAt,
  type Attack,
  type LeadTone,
} from '../../../app/core/sound/lead/tones.ts';
import { BANK_RATE, type Bank } from '../ear-set/bank.ts';
import { dice, type Dice } from '../ear-set/random.ts';
import type { LinePlan } from './phrases.ts';

/** Noise below the guitar's level, dB. */
export type NoiseLevel = 'quiet' | 'room' | 'noisy';
const NOISE: Record<NoiseLevel, number> = { quiet: -60, room: -40, noisy: -26 };

/** At the ear's rate, one channel. */
export function renderLineTake(
  plan: LinePlan,
  bank: Bank,
  level: NoiseLevel,
  seed: number,
): Float32Array {
  const end = Math.max(...plan.played.map((moment) => moment.until)) + 1;
  const out = new Float32Array(Math.round(end * BANK_RATE));
  for (const tone of leadTones(plan.played)) playTone(out, tone, bank, plan.detune);
  addNoise(out, 10 ** (NOISE[level] / 20), dice(seed));
  return resampled(out, BANK_RATE);
}

export const TAKE_RATE = EAR_RATE;

/** Each attack starts a new sampled note, softer where the string is not picked; its pitch follows the curve. */
function playTone(out: Float32Array, tone: LeadTone, bank: Bank, detune: number): void {
  tone.attacks.forEach((attack, i) => {
    const until = tone.attacks[i + 1]?.at ?? tone.end;
    playAttack(out, tone, attack, until, bank, detune);
  });
}

function playAttack(
  out: Float32Array,
  tone: LeadTone,
  attack: Attack,
  until: number,
  bank: Bank,
  detune: number,
): void {
  const midi = Math.round(pitchAt(tone, attack.at + 1e-6));
  const note = bank(midi, attack.strength < 1 ? 60 : 105);
  const gain = attack.strength < 1 ? attack.strength * 1.7 : 1;
  const stop = until * BANK_RATE;
  let from = note.onset - 0.004 * BANK_RATE;
  for (let i = Math.max(0, Math.round((attack.at - 0.004) * BANK_RATE)); i < out.length; i++) {
    const whole = Math.floor(from);
    if (whole + 1 >= note.samples.length) return;
    const held = i > stop ? Math.exp(-(i - stop) / (0.008 * BANK_RATE)) : 1;
    if (held < 1e-4) return;
    const x =
      whole < 0
        ? 0
        : note.samples[whole]! + (from - whole) * (note.samples[whole + 1]! - note.samples[whole]!);
    out[i]! += gain * held * x;
    from += 2 ** ((pitchAt(tone, i / BANK_RATE) - midi + detune / 100) / 12);
  }
}

function addNoise(out: Float32Array, share: number, d: Dice): void {
  const level = share * Math.sqrt(out.reduce((sum, x) => sum + x * x, 0) / out.length);
  let state = 0;
  for (let i = 0; i < out.length; i++) {
    state = 0.95 * state + d.between(-1, 1);
    // A leaky sum of uniform steps has a root mean square of about 1.85.
    out[i]! += (level * state) / 1.85;
  }
}
