// Browser tests: the built view in Chromium, served by the browser host.
import { defineConfig } from '@playwright/test';
import { launchOptions } from './chromium.ts';

export default defineConfig({
  testDir: '.',
  testMatch: '*.spec.ts',
  globalSetup: './global-setup.ts',
  outputDir: '../../test-results/browser',
  // Sound and timing want the machine to themselves.
  workers: 1,
  forbidOnly: true,
  timeout: 60_000,
  expect: { timeout: 10_000 },
  reporter: [['list']],
  // Traces cost time that sound needs; ask for them with --trace on.
  use: { launchOptions: launchOptions(), trace: 'off' },
});
