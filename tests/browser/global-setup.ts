// Builds the view once for a whole run of browser tests, into a folder of its own, unless `npm test` has built it; puts
// the tests' files into memory.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { buildView } from '../../app/build.ts';
import keepInMemory from '../in-memory.ts';

export default async function setUpTests(): Promise<() => void> {
  const forget = keepInMemory();
  if (process.env['RUNGWISE_TEST_VIEW']) return forget;
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-view-'));
  await buildView(folder);
  process.env['RUNGWISE_TEST_VIEW'] = folder;
  return forget;
}
