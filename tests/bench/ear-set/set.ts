// The validation set as a whole, on which all choices fall: which takes there are, and each as a WAV beside its truth, rendered when first asked for.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readTake as readWave } from '../../../app/core/ear/take.ts';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wave/riff.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { BANK_RATE, openBank } from './bank.ts';
import type { Bank, Timbre } from './bank.ts';
import { renderTake } from './mix.ts';
import { LEVELS, type Player, planTake } from './plan.ts';
import type { TakePlan } from './plan.ts';

/** Git-ignored. Raise the version with every change of plan or sound: old files are then left alone. */
const CACHE = fileURLToPath(new URL('../../../.cache/ear-set/v4', import.meta.url));

/** Every timbre at every level has takes of these players. */
const PLAYERS: readonly Player[] = [
  ...Array<Player>(7).fill('clean'),
  ...(['uneven', 'spoilt', 'uneven', 'spoilt', 'spoilt'] as const),
];
const TIMBRES = ['jazz', 'overdriven', 'chip', 'model one', 'model two', 'model three'] as const;

export interface Take {
  readonly plan: TakePlan;
  readonly wav: string;
}

/** Every timbre at every level. */
function plansOf(): TakePlan[] {
  const cells = TIMBRES.flatMap((timbre) => LEVELS.choosing.map((level) => ({ timbre, level })));
  return PLAYERS.flatMap((player, round) =>
    cells.map(({ timbre, level }, cell) =>
      planTake(round * cells.length + cell, timbre, level, player),
    ),
  );
}

/** Renders what is missing. @throws Error when fluidsynth, its sound font or sox is missing. */
export function takesOf(): Take[] {
  return plansOf().map((plan) => ({ plan, wav: ensureWav(plan) }));
}

function ensureWav(plan: TakePlan): string {
  const wav = join(CACHE, `${plan.id}.wav`);
  if (existsSync(wav)) return wav;
  mkdirSync(CACHE, { recursive: true });
  const samples = renderTake(plan, bankOf(plan.timbre), bankOf('squeak'), bankOf('bass'));
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
