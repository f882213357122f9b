// The test set as a whole: which takes there are, and each as a WAV beside its truth, rendered when first asked for.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readTake as readWave } from '../../../app/core/ear/take.ts';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wave/riff.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { BANK_RATE, openBank } from './bank.ts';
import type { Bank, Timbre } from './bank.ts';
import { renderTake } from './mix.ts';
import { LEVELS, planTake } from './plan.ts';
import type { TakePlan } from './plan.ts';

/** Git-ignored. Raise the version with every change of plan or sound: old files are then left alone. */
export const CACHE = fileURLToPath(new URL('../../../.cache/ear-set/v3', import.meta.url));

/** Takes of each timbre at each level; a second round is for training alone, so the training half is the larger. */
const PER_CELL = 8;
const ROUNDS = { train: 2, 'held-out': 1 } as const;
const TUNED_ON = ['nylon', 'steel', 'clean', 'muted'] as const;
const HELD_OUT = [...TUNED_ON, 'jazz'] as const;

export interface Take {
  readonly plan: TakePlan;
  readonly wav: string;
}

/** All takes of one half: every timbre at every level, eight of each in a round. Jazz guitar is held out entirely. */
export function plansOf(half: TakePlan['half']): TakePlan[] {
  const timbres: readonly (typeof HELD_OUT)[number][] = half === 'train' ? TUNED_ON : HELD_OUT;
  const cells = timbres.flatMap((timbre) => LEVELS.map((level) => ({ timbre, level })));
  const round = cells.flatMap((cell) => Array.from({ length: PER_CELL }, () => cell));
  return Array.from({ length: ROUNDS[half] }, () => round)
    .flat()
    .map(({ timbre, level }, index) => planTake(index, half, timbre, level));
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
  writeFileSync(wav, Buffer.concat([wavHeader(samples.length, BANK_RATE), toPcm16(samples)]));
  writeFileSync(wav.replace(/wav$/, 'json'), JSON.stringify(plan));
  return wav;
}

/** One channel, −1 to 1. */
export const readTake = (wav: string): Float32Array =>
  unwrap(readWave(readFileSync(wav), wav)).samples;

const banks = new Map<Timbre, Bank>();
function bankOf(timbre: Timbre): Bank {
  let bank = banks.get(timbre);
  if (!bank) banks.set(timbre, (bank = openBank(timbre, dirname(CACHE))));
  return bank;
}
