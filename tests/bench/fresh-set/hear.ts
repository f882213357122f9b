// One take of the fresh set, made and heard: by the program's own ear, and some also by its peers.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Milliseconds, Seconds } from '../../../app/core/base/units.ts';
import { findStart } from '../../../app/core/ear/find-start.ts';
import { soundFrames } from '../../../app/core/ear/frames.ts';
import { resampled } from '../../../app/core/ear/rate.ts';
import type { Expectation } from '../../../app/core/ear/model.ts';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wave/riff.ts';
import { aubioOnsets } from '../ear-set/aubio.ts';
import { BANK_RATE } from '../ear-set/bank.ts';
import { type Ear, type ScoredTake, scoreSound } from '../ear-set/score.ts';
import type { FreshPlan } from './model.ts';
import { type Cell, planTake } from './plan.ts';
import { renderTake } from './sound.ts';

/** Git-ignored: single notes and songs, no takes. */
export const CACHE = fileURLToPath(new URL('../../../.cache/fresh-set', import.meta.url));

export interface HeardTake extends ScoredTake {
  /** The start that is found by ear less the true one, and whether it is said to be doubtful. */
  readonly start: { readonly off: Seconds; readonly doubtful: boolean };
  /** Of one take in three. */
  readonly peers?: Peers;
}

export interface Peers {
  /** The ear before it had its network, on the same sound. */
  readonly earlier: ScoredTake;
  /** aubio's nearest onset less the true moment, of each struck change; null where none lies within 100 ms. */
  readonly aubio: readonly (Milliseconds | null)[];
}

/** Who hears a take: the program's own ear where none is named, and the earlier one where peers are asked. */
export interface Ears {
  readonly own?: Ear;
  readonly earlier?: Ear;
}

export function hearTake(cell: Cell, { own, earlier }: Ears): HeardTake {
  const plan = planTake(cell);
  const samples = renderTake(plan, CACHE);
  const heard = scoreSound(slim(plan), samples, plan.expectation, own);
  const start = startOf(plan, samples);
  if (!earlier || !cell.beside) return { ...heard, start };
  const before = scoreSound(slim(plan), samples, plan.expectation, earlier);
  return { ...heard, start, peers: { earlier: before, aubio: aubioErrors(plan, samples) } };
}

/** Heard by the program's own ear alone; the sound is written where another program finds it. */
export function hearBeside(cell: Cell, wav: string): ScoredTake {
  const plan = planTake(cell);
  const samples = renderTake(plan, CACHE);
  writeWav(wav, samples);
  return scoreSound(slim(plan), samples, plan.expectation);
}

/** What figures need of a plan. */
const slim = ({ id, timbre, level, shapesKnown, length, changes }: FreshPlan) => ({
  ...{ id, timbre, level, shapesKnown, length, changes },
});

/** As if nobody had said where the pass begins. */
function startOf({ expectation, length }: FreshPlan, samples: Float32Array): HeardTake['start'] {
  const sound = resampled(samples, BANK_RATE);
  const frames = soundFrames();
  frames.advance(sound, sound.length);
  const begins = expectation.changes[0]!.due;
  const found = findStart(moved(expectation, -begins), frames, length);
  return { off: (found?.start ?? Infinity) - begins, doubtful: found?.doubtful ?? true };
}

const moved = (e: Expectation, by: Seconds): Expectation => ({
  ...e,
  changes: e.changes.map((c) => ({ ...c, due: c.due + by, until: c.until + by })),
  strokes: e.strokes.map((s) => ({ ...s, at: s.at + by })),
  clicks: e.clicks.map((c) => ({ ...c, at: c.at + by })),
});

function aubioErrors({ changes }: FreshPlan, samples: Float32Array): Peers['aubio'] {
  const onsets = withWav(samples, aubioOnsets);
  return changes.flatMap(({ played }) => {
    if (played === null) return [];
    const off = onsets.map((at) => at - played).toSorted((a, b) => Math.abs(a) - Math.abs(b))[0];
    return [off === undefined || Math.abs(off) > 0.1 ? null : 1000 * off];
  });
}

/** Lends the sound as a file. */
function withWav<T>(samples: Float32Array, use: (wav: string) => T): T {
  const wav = join(mkdtempSync(join(os.tmpdir(), 'take-')), 'take.wav');
  try {
    writeWav(wav, samples);
    return use(wav);
  } finally {
    rmSync(dirname(wav), { recursive: true });
  }
}

const writeWav = (wav: string, samples: Float32Array): void =>
  writeFileSync(wav, Buffer.concat([wavHeader(samples.length, BANK_RATE), toPcm16(samples)]));
