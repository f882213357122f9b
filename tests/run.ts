// `npm test`: every suite in turn, with a Chromium found or fetched first; ends with the line "N passed, N failed".
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from '@playwright/test';
import { chromiumPath, launchOptions } from './browser/chromium.ts';
import { desktopMeans } from './desktop/runtime.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
const reports = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-reports-'));

interface Count {
  readonly passed: number;
  readonly failed: number;
}

const counts = [await unitAndBrowser(), desktop()].flat();
fs.rmSync(reports, { recursive: true, force: true });
const passed = counts.reduce((sum, count) => sum + count.passed, 0);
const failed = counts.reduce((sum, count) => sum + count.failed, 0);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;

async function unitAndBrowser(): Promise<Count[]> {
  const ready = await getChromium();
  return [unit(), ready ? playwright('browser', []) : { passed: 0, failed: 1 }];
}

function unit(): Count {
  const report = path.join(reports, 'unit.json');
  const status = run('vitest/vitest.mjs', [
    'run',
    ...['-c', 'tests/vitest.config.ts'],
    ...['--reporter=default', '--reporter=json', `--outputFile.json=${report}`],
  ]);
  const read = readReport<{ numPassedTests: number; numFailedTests: number }>(report);
  return counted(status, read?.numPassedTests, read?.numFailedTests);
}

function desktop(): Count[] {
  const means = desktopMeans();
  if ('why' in means) {
    console.log(means.why);
    return [];
  }
  return [playwright('desktop', means.wrapper)];
}

function playwright(suite: string, wrapper: readonly string[]): Count {
  const report = path.join(reports, `${suite}.json`);
  process.env['PLAYWRIGHT_JSON_OUTPUT_FILE'] = report;
  const config = path.join('tests', suite, 'playwright.config.ts');
  const status = run(
    '@playwright/test/cli.js',
    ['test', '-c', config, '--reporter=list,json'],
    wrapper,
  );
  const stats = readReport<{ stats: Record<'expected' | 'unexpected' | 'flaky', number> }>(
    report,
  )?.stats;
  return counted(status, stats?.expected, stats && stats.unexpected + stats.flaky);
}

/** A suite that broke off without counting a failure has failed all the same. */
function counted(status: number, passed = 0, failed = 0): Count {
  return { passed, failed: status === 0 ? failed : Math.max(1, failed) };
}

function readReport<T>(file: string): T | undefined {
  return fs.existsSync(file) ? (JSON.parse(fs.readFileSync(file, 'utf8')) as T) : undefined;
}

/** Runs a tool of node_modules with this Node; returns its exit status. */
function run(tool: string, args: readonly string[], wrapper: readonly string[] = []): number {
  const [command, ...rest] = [
    ...wrapper,
    process.execPath,
    path.join(root, 'node_modules', tool),
    ...args,
  ];
  return spawnSync(command!, rest, { cwd: root, stdio: 'inherit' }).status ?? 1;
}

/** An installed Chromium; else Playwright's own; else Debian's, when root; else a sentence and false. */
async function getChromium(): Promise<boolean> {
  if (await starts()) return true;
  console.log('No Chromium is installed; fetching Playwright’s own …');
  run('@playwright/test/cli.js', ['install', 'chromium']);
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
