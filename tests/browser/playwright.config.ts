// Browser tests: the built view in Chromium, served by the browser host.
import { defineConfig } from '@playwright/test';
import { launchOptions } from './chromium.ts';

const files = (...names: string[]) => names.map((name) => `${name}.spec.ts`);

/** What sounds is heard or measured sample by sample: these have the machine to themselves. */
const HEARD = files('audio', 'band', 'climb-trouble', 'ear', 'ear-microphone');
/**
 * A climb sounds in real time while keys and pedals judge it: the page waits for the music and the processor idles,
 * so a few of these run side by side.
 */
const PLAYED = files(
  'addresses',
  'climb',
  'devices',
  'first-minute',
  'killed',
  'microphone-trouble',
  'partner',
  'pedals',
  'queue',
  'run-through',
);

export default defineConfig({
  testDir: '.',
  globalSetup: './global-setup.ts',
  outputDir: '../../test-results/browser',
  forbidOnly: true,
  // With room for a machine that does other things as well.
  timeout: 120_000,
  expect: { timeout: 20_000 },
  reporter: [['list']],
  // Traces cost time that sound needs; ask for them with --trace on.
  use: { launchOptions: launchOptions(), trace: 'off' },
  projects: [
    {
      name: 'quiet',
      testMatch: '*.spec.ts',
      testIgnore: [...HEARD, ...PLAYED],
      fullyParallel: true,
    },
    { name: 'played', testMatch: PLAYED, fullyParallel: true },
    { name: 'heard', testMatch: HEARD, workers: 1 },
  ],
});
