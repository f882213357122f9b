// Desktop tests: the built program on the stand-in for Electron, and in Electron itself where its runtime is present.
import { defineConfig } from '@playwright/test';

export default defineConfig({
  testDir: '.',
  globalSetup: './global-setup.ts',
  outputDir: '../../test-results/desktop',
  forbidOnly: true,
  timeout: 300_000,
  // Node runs TypeScript as it is.
  build: { external: ['**/{app,tests}/**'] },
  reporter: [['list']],
  // Each mostly waits: for a start, or for the music. A project can have fewer workers than the whole, never more.
  workers: 2,
  projects: [
    { name: 'built', testMatch: ['built.spec.ts', 'package.spec.ts'], fullyParallel: true },
    { name: 'electron', testMatch: 'trainer.spec.ts', workers: 1 },
  ],
});
