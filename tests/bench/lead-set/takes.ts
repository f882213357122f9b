// Lead lines as sound: single notes of a guitar, played back along the exact pitch curves of the tones.
import { EAR_RATE, resampled } from '../../../app/core/ear/rate.ts';
import {
  leadTones,
  pitchAt,
  type Attack,
  type LeadTone,
} from '../../../app/core/sound/lead/tones.ts';
import { BANK_RATE, type Bank } from '../ear-set/bank.ts';
import { dice } from '../ear-set/random.ts';
import { amplified, recorded, type Room } from '../fresh-set/rooms.ts';
import type { LinePlan } from './plans.ts';

/** A line, on what it is played, and where. */
export interface LineTake {
  readonly seed: number;
  readonly room: Room;
  readonly bank: () => Bank;
  /** How hard an amplifier is driven; none is no amplifier. */
  readonly drive?: readonly [number, number] | undefined;
}

/** At the ear's rate, one channel. @param cache Where songs for the radio are kept. */
export function renderLineTake(plan: LinePlan, take: LineTake, cache: string): Float32Array {
  const d = dice(take.seed ^ 0x11e5);
  const end = Math.max(...plan.played.map((moment) => moment.until)) + 1;
  const out = new Float32Array(Math.round(end * BANK_RATE));
  const bank = take.bank();
  for (const tone of leadTones(plan.played)) playTone(out, tone, bank, plan.detune);
  const sound = take.drive ? amplified(out, d.between(...take.drive)) : out;
  const home = { room: take.room, expectation: NOTHING_BESIDE };
  return resampled(recorded(sound, home, d, cache), BANK_RATE);
}

/** A line is played without a click, and without a band. */
const NOTHING_BESIDE = { changes: [], strokes: [], clicks: [], beat: 0.5 };

export const TAKE_RATE = EAR_RATE;

/** Of a note reached without a pick: so much of its beginning is left out, and so long it takes to be there. */
const LEGATO = { skips: 0.015, rises: 0.004 } as const;

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
  // A finger that hammers on or pulls off makes no pick's noise: the tone is there at once, a little later in its life.
  const soft = attack.strength < 1;
  const begins = Math.round(attack.at * BANK_RATE);
  const lead = soft ? 0 : Math.round(0.004 * BANK_RATE);
  let from = note.onset - lead + (soft ? LEGATO.skips * BANK_RATE : 0);
  for (let i = Math.max(0, begins - lead); i < out.length; i++) {
    const whole = Math.floor(from);
    if (whole + 1 >= note.samples.length) return;
    const held = i > stop ? Math.exp(-(i - stop) / (0.008 * BANK_RATE)) : 1;
    if (held < 1e-4) return;
    const rise = soft ? Math.min(1, (i - begins) / (LEGATO.rises * BANK_RATE)) : 1;
    const x =
      whole < 0
        ? 0
        : note.samples[whole]! + (from - whole) * (note.samples[whole + 1]! - note.samples[whole]!);
    out[i]! += gain * held * rise * x;
    from += 2 ** ((pitchAt(tone, i / BANK_RATE) - midi + detune / 100) / 12);
  }
}
