// Builds the view once for a whole run of browser tests, into a folder of its own, unless `npm test` has built it.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { buildView } from '../../app/build.ts';

export default async function buildForTests(): Promise<(() => void) | undefined> {
  if (process.env['RUNGWISE_TEST_VIEW']) return;
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-view-'));
  await buildView(folder);
  process.env['RUNGWISE_TEST_VIEW'] = folder;
  return () => fs.rmSync(folder, { recursive: true, force: true });
}
