// Builds main process, preload and view before the desktop tests, unless `npm test` has built them.
import { buildAll } from '../../app/build.ts';

export default async function buildForTests(): Promise<void> {
  if (!process.env['RUNGWISE_TEST_VIEW']) await buildAll();
}
