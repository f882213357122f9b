// Hears its share of a part's takes beside the other workers; see heard.ts.
import { parentPort, workerData } from 'node:worker_threads';
import { earlierEar } from '../ear-set/earlier.ts';
import { hearTake } from './hear.ts';
import type { Part } from './model.ts';
import { cellsOf } from './set.ts';

const { part, share, of } = workerData as {
  readonly part: Part;
  readonly share: number;
  readonly of: number;
};
const earlier = await earlierEar();
cellsOf(part).forEach((cell, i) => {
  if (i % of === share) parentPort!.postMessage({ i, take: hearTake(cell, earlier) });
});
