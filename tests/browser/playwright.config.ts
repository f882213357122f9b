// Browser tests: the built view in Chromium, served by the browser host.
import { defineConfig } from '@playwright/test';
import { launchOptions } from './chromium.ts';

/** Tests in which sound is played or heard: they want the machine to themselves, and `run.ts` gives it to them. */
const WITH_SOUND = [
  'addresses',
  'audio',
  'band',
  'climb',
  'climb-trouble',
  'devices',
  'first-minute',
  'ear',
  'ear-microphone',
  'killed',
  'partner',
  'pedals',
  'queue',
  'run-through',
].map((name) => `${name}.spec.ts`);

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
    { name: 'quiet', testMatch: '*.spec.ts', testIgnore: WITH_SOUND, fullyParallel: true },
    { name: 'sound', testMatch: WITH_SOUND, workers: 1 },
  ],
});
