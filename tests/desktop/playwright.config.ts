// Desktop tests: the built program in Electron itself, one window at a time.
import { defineConfig } from '@playwright/test';

export default defineConfig({
  testDir: '.',
  testMatch: '*.spec.ts',
  globalSetup: './global-setup.ts',
  outputDir: '../../test-results/desktop',
  workers: 1,
  forbidOnly: true,
  timeout: 60_000,
  reporter: [['list']],
});
