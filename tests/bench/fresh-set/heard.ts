// All takes of a part, heard once per run on as many cores as there are, four at most.
import os from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { earlierEar } from '../ear-set/earlier.ts';
import { bankOf, GUITARS } from './guitars.ts';
import type { BesideTake } from '../ear-set/beside-transcriber.ts';
import { CACHE, hearBeside, type HeardTake } from './hear.ts';
import type { Part } from './model.ts';
import { readySongs } from './noises.ts';
import { readyWireless } from './noises-to-choose.ts';
import { fewOf, hasPeers } from './set.ts';

const MOST_WORKERS = 4;
const known = new Map<string, Promise<readonly HeardTake[]>>();

/**
 * @param network A file of weights to hear with; where none is named those that the program ships.
 * @throws Error naming the Debian package of a sound that is missing.
 */
export function heardTakes(part: Part, network?: string): Promise<readonly HeardTake[]> {
  const name = `${part} ${network ?? ''}`;
  let takes = known.get(name);
  if (!takes) known.set(name, (takes = hearAll(part, network)));
  return takes;
}

async function hearAll(part: Part, network?: string): Promise<readonly HeardTake[]> {
  // What all workers read is made before they start.
  if (hasPeers(part)) await earlierEar();
  for (const name of Object.keys(GUITARS[part])) bankOf(part, name, CACHE);
  if (part === 'choose') readyWireless(CACHE);
  else if (part !== 'fresh-d') readySongs(CACHE);
  const of = Math.min(MOST_WORKERS, os.availableParallelism());
  const takes: HeardTake[] = [];
  await Promise.all(
    Array.from({ length: of }, (_, share) => hearShare({ part, network, share, of }, takes)),
  );
  return takes;
}

/** Lays what one worker heard into `takes`. */
function hearShare(workerData: object, takes: HeardTake[]): Promise<void> {
  return new Promise((done, failed) => {
    const worker = new Worker(new URL('worker.ts', import.meta.url), { workerData });
    worker.on('message', ({ i, take }: { i: number; take: HeardTake }) => (takes[i] = take));
    worker.on('error', failed);
    worker.on('exit', () => done());
  });
}

/** {@link fewOf} a part, one after the other; the sound lies in its file until the next is asked for. */
export function* fewTakes(part: Part): Generator<BesideTake> {
  readySongs(CACHE);
  const wav = join(CACHE, 'beside.wav');
  for (const cell of fewOf(part)) yield { take: hearBeside(cell, wav), wav };
}
