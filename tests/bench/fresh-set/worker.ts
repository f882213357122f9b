// Hears its share of a part's takes beside the other workers; see heard.ts.
import { readFileSync } from 'node:fs';
import { parentPort, workerData } from 'node:worker_threads';
import { readNetwork } from '../../../app/core/ear/network/network.ts';
import { earlierEar } from '../ear-set/earlier.ts';
import { earWith } from '../ear-set/score.ts';
import { type Ears, hearTake } from './hear.ts';
import type { Part } from './model.ts';
import { cellsOf, hasPeers } from './set.ts';

const { part, network, share, of } = workerData as {
  readonly part: Part;
  readonly network?: string;
  readonly share: number;
  readonly of: number;
};
const ears: Ears = {
  ...(network !== undefined && { own: earWith(readNetwork(readFileSync(network))) }),
  ...(hasPeers(part) && { earlier: await earlierEar() }),
};
cellsOf(part).forEach((cell, i) => {
  if (i % of === share) parentPort!.postMessage({ i, take: hearTake(cell, ears) });
});
