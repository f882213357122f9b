// The takes whose starts are to be found, each as a WAV rendered when first asked for.
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wave/riff.ts';
import { BANK_RATE, openBank, type Bank, type Timbre } from '../ear-set/bank.ts';
import { renderTake } from '../ear-set/mix.ts';
import { dice, type Dice } from '../ear-set/random.ts';
import { type Part } from './charts.ts';
import { type Beside, planStart, type StartPlan } from './plan.ts';

/** Git-ignored. Raise the version with every change of plan or sound: old files are then left alone. */
const CACHE = fileURLToPath(new URL('../../../.cache/start-set/v1', import.meta.url));
const BANKS = fileURLToPath(new URL('../../../.cache/ear-set', import.meta.url));

const PER_PART: Readonly<Record<Part, number>> = { train: 120, choose: 105, report: 150 };

export interface StartTake {
  readonly plan: StartPlan;
  readonly wav: string;
}

/** Renders what is missing. @throws Error when fluidsynth, a sound font or sox is missing. */
export function* startTakes(part: Part, from = 0, to = PER_PART[part]): Generator<StartTake> {
  for (let index = from; index < to; index++) {
    const plan = planStart(part, index);
    yield { plan, wav: ensureWav(plan) };
  }
}

function ensureWav(plan: StartPlan): string {
  const wav = join(CACHE, `${plan.id}.wav`);
  if (existsSync(wav)) return wav;
  mkdirSync(dirname(wav), { recursive: true });
  const { sound } = plan;
  const whole = renderTake(sound, bankOf(sound.timbre), bankOf('squeak'), bankOf('bass'));
  const d = dice(sound.seed ^ 0xbe51de);
  const peak = whole.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  for (const beside of plan.beside) addBeside(whole, beside, peak * d.between(0.1, 0.6), d);
  const samples = whole.slice(Math.round(plan.cutBefore * BANK_RATE));
  writeFileSync(wav, Buffer.concat([wavHeader(samples.length, BANK_RATE), toPcm16(samples)]));
  return wav;
}

/** A knock on wood, or a voice: a buzz of wandering pitch through two formants, in syllables. */
function addBeside(out: Float32Array, { kind, at, length }: Beside, level: number, d: Dice): void {
  const from = Math.round(at * BANK_RATE);
  const count = Math.min(Math.round(length * BANK_RATE), out.length - from);
  const pitch = d.between(90, 220);
  const formants = [resonator(d.between(350, 800), 80), resonator(d.between(1000, 2300), 120)];
  const knock = resonator(d.between(120, 400), 40);
  let phase = 0;
  const sound = Array.from({ length: Math.max(0, count) }, (_, i) => {
    const t = i / BANK_RATE;
    if (kind === 'knock') return knock(d.between(-1, 1) * Math.exp(-t / 0.008));
    phase += (pitch * (1 + 0.15 * Math.sin(5 * t + pitch))) / BANK_RATE;
    const syllable = Math.max(
      0,
      Math.sin(Math.PI * Math.min(1, t / length)) * Math.sin(2 * Math.PI * 4.5 * t) ** 2,
    );
    const buzz = syllable * (2 * (phase % 1) - 1 + 0.1 * d.between(-1, 1));
    return formants.reduce((sum, f) => sum + f(buzz), 0);
  });
  const top = sound.reduce((most, x) => Math.max(most, Math.abs(x)), 1e-9);
  sound.forEach((x, i) => (out[from + i]! += (level * x) / top));
}

function resonator(hertz: number, width: number): (x: number) => number {
  const r = Math.exp((-Math.PI * width) / BANK_RATE);
  const a = 2 * r * Math.cos((2 * Math.PI * hertz) / BANK_RATE);
  let [y1, y2] = [0, 0];
  return (x) => {
    const y = x + a * y1 - r * r * y2;
    [y1, y2] = [y, y1];
    return y;
  };
}

const banks = new Map<Timbre, Bank>();
function bankOf(timbre: Timbre): Bank {
  let bank = banks.get(timbre);
  if (!bank) banks.set(timbre, (bank = openBank(timbre, BANKS)));
  return bank;
}
