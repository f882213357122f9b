// The test set as a whole: which takes there are, and each as a WAV beside its truth, rendered when first asked for.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import wavefile from 'wavefile';
import { BANK_RATE, openBank } from './bank.ts';
import type { Bank, Timbre } from './bank.ts';
import { renderTake } from './mix.ts';
import { LEVELS, planTake } from './plan.ts';
import type { TakePlan } from './plan.ts';

/** Git-ignored. Raise the version with every change of plan or sound: old files are then left alone. */
export const CACHE = fileURLToPath(new URL('../../../.cache/ear-set/v3', import.meta.url));

const PER_CELL = 8;
const TUNED_ON = ['nylon', 'steel', 'clean', 'muted'] as const;
const HELD_OUT = [...TUNED_ON, 'jazz'] as const;

export interface Take {
  readonly plan: TakePlan;
  readonly wav: string;
}

/** All takes of one half: every timbre at every level, eight of each. Jazz guitar is held out entirely. */
export function plansOf(half: TakePlan['half']): TakePlan[] {
  const timbres: readonly (typeof HELD_OUT)[number][] = half === 'train' ? TUNED_ON : HELD_OUT;
  const cells = timbres.flatMap((timbre) => LEVELS.map((level) => ({ timbre, level })));
  return cells.flatMap(({ timbre, level }, c) =>
    Array.from({ length: PER_CELL }, (_, i) => planTake(c * PER_CELL + i, half, timbre, level)),
  );
}

/** Renders what is missing. @throws Error when fluidsynth or its sound font is missing. */
export function takesOf(half: TakePlan['half']): Take[] {
  return plansOf(half).map((plan) => ({ plan, wav: ensureWav(plan) }));
}

export function ensureWav(plan: TakePlan): string {
  const wav = join(CACHE, `${plan.id}.wav`);
  if (existsSync(wav)) return wav;
  mkdirSync(CACHE, { recursive: true });
  const samples = renderTake(plan, bankOf(plan.timbre), bankOf('squeak'));
  const file = new wavefile.WaveFile();
  file.fromScratch(
    1,
    BANK_RATE,
    '16',
    Int16Array.from(samples, (x) => Math.round(x * 32767)),
  );
  writeFileSync(wav, file.toBuffer());
  writeFileSync(wav.replace(/wav$/, 'json'), JSON.stringify(plan));
  return wav;
}

/** One channel, −1 to 1. */
export function readTake(wav: string): Float32Array {
  const file = new wavefile.WaveFile(readFileSync(wav));
  file.toBitDepth('32f');
  return Float32Array.from(file.getSamples(false) as unknown as ArrayLike<number>);
}

const banks = new Map<Timbre, Bank>();
function bankOf(timbre: Timbre): Bank {
  let bank = banks.get(timbre);
  if (!bank) banks.set(timbre, (bank = openBank(timbre, dirname(CACHE))));
  return bank;
}
