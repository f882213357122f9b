// `npm test`: every suite in turn, the program built and a Chromium found or fetched first; ends with the line "N passed, N failed".
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { chromium } from '@playwright/test';
import { buildAll, builtView } from '../app/build.ts';
import { chromiumPath, launchOptions } from './browser/chromium.ts';
import { desktopMeans } from './desktop/runtime.ts';
import {
  BROWSER,
  type Count,
  counted,
  FAILED,
  NOTHING,
  playwright,
  readReport,
  runTool,
  sum,
} from './suites.ts';

const ready = await getChromium();
// Once for all suites that show it.
await buildAll();
process.env['RUNGWISE_TEST_VIEW'] = builtView;
const suites: readonly (readonly [name: string, run: () => Count])[] = [
  ['unit', unit],
  ...BROWSER.map(
    ({ name, workers }) =>
      [
        `browser, ${name}`,
        () => (ready ? playwright('browser', name, { args: [`--workers=${workers}`] }) : FAILED),
      ] as const,
  ),
  ['the built program', () => (ready ? playwright('desktop', 'built') : FAILED)],
  ['Electron', electron],
];
const results = suites.map(([name, run]) => {
  const began = performance.now();
  const count = run();
  return { name, ...count, seconds: Math.round((performance.now() - began) / 1000) };
});
console.table(results);
const { passed, failed } = sum(results);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;

function unit(): Count {
  const report = path.join(fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-report-')), 'unit.json');
  const status = runTool('vitest/vitest.mjs', [
    'run',
    ...['-c', 'tests/vitest.config.ts'],
    ...['--reporter=default', '--reporter=json', `--outputFile.json=${report}`],
  ]);
  const read = readReport<{ numPassedTests: number; numFailedTests: number }>(report);
  return counted(status, read?.numPassedTests, read?.numFailedTests);
}

/** Where Electron's runtime is absent, it says so, and nothing is counted. */
function electron(): Count {
  const means = desktopMeans();
  if ('why' in means) {
    console.log(means.why);
    return NOTHING;
  }
  return playwright('desktop', 'electron', { wrapper: means.wrapper });
}

/** An installed Chromium; else Playwright's own; else Debian's, when root; else a sentence and false. */
async function getChromium(): Promise<boolean> {
  if (await starts()) return true;
  console.log('No Chromium is installed; fetching Playwright’s own …');
  runTool('@playwright/test/cli.js', ['install', 'chromium']);
  if (await starts()) return true;
  if (process.getuid?.() === 0 && fs.existsSync('/etc/debian_version')) {
    console.log('Installing Debian’s Chromium …');
    spawnSync('apt-get', ['update'], { stdio: 'inherit' });
    spawnSync('apt-get', ['install', '-y', '--no-install-recommends', 'chromium'], {
      stdio: 'inherit',
    });
    if (await starts()) return true;
  }
  console.error(
    'No Chromium can be had here (none installed, none fetched): the browser tests FAIL. ' +
      'Install Chromium or Chrome, then run npm test again.',
  );
  return false;
}

async function starts(): Promise<boolean> {
  if (!chromiumPath()) return false;
  try {
    const started = await chromium.launch(launchOptions());
    await started.close();
    return true;
  } catch (error) {
    console.error(error instanceof Error ? error.message.split('\n')[0] : error);
    return false;
  }
}
