// Browser tests: the built view in Chromium, served by the browser host.
import { defineConfig } from '@playwright/test';
import { launchOptions } from './chromium.ts';
import { TAKE } from './ear/take-file.ts';

const files = (...names: string[]) => names.map((name) => `${name}.spec.ts`);

/** What sounds is heard or measured sample by sample: what only computes makes room for these. */
const HEARD = files('audio', 'climb-trouble', 'ear', 'ear-microphone');
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
  'recording',
  'run-through',
  'stage-clear',
);

const keepsProcess = true;
// One kind of browser for all tests of a project: another would cost each worker a start of its own.
const WITH_MICROPHONE = launchOptions({ keepsProcess, fakeMicrophone: true });
/** Most of them plug a cable into their page; the microphone itself plays what one of them writes here. */
const WITH_TAKE = launchOptions({ keepsProcess, fakeMicrophone: TAKE });

export default defineConfig({
  testDir: '.',
  globalSetup: './global-setup.ts',
  forbidOnly: true,
  // With room for a machine that does other things as well.
  timeout: 120_000,
  expect: { timeout: 20_000 },
  reporter: [['list']],
  // Traces cost time that sound needs; ask for them with --trace on.
  use: { launchOptions: launchOptions({ keepsProcess }), trace: 'off' },
  fullyParallel: true,
  // Node runs TypeScript as it is: nothing needs to be translated for it, in each run of a clean clone anew.
  build: { external: ['**/{app,renderer,tests}/**'] },
  // Two of them may run at once, so each has its own folder for what it leaves.
  projects: [
    { name: 'quiet', testMatch: '*.spec.ts', testIgnore: [...HEARD, ...PLAYED] },
    { name: 'played', testMatch: PLAYED, use: { launchOptions: WITH_MICROPHONE } },
    { name: 'heard', testMatch: HEARD, use: { launchOptions: WITH_TAKE } },
  ].map((project) => ({ ...project, outputDir: `../../test-results/${project.name}` })),
});
