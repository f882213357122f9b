// The suites that a browser or Electron runs, one after the other, and what each came to.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('..', import.meta.url));

export interface Count {
  readonly passed: number;
  readonly failed: number;
}

export const NOTHING: Count = { passed: 0, failed: 0 };
export const FAILED: Count = { passed: 0, failed: 1 };

export const sum = (counts: readonly Count[]): Count => ({
  passed: counts.reduce((all, { passed }) => all + passed, 0),
  failed: counts.reduce((all, { failed }) => all + failed, 0),
});

/** How many tests of a kind run at once (the kinds: tests/browser/playwright.config.ts). */
export const BROWSER = [
  { name: 'quiet', workers: 2 },
  { name: 'played', workers: 3 },
  { name: 'heard', workers: 1 },
] as const;

/** @param wrapper A command that gives windows a display. @param mayBeEmpty Were files named that this may not have? */
export function playwright(
  suite: 'browser' | 'desktop',
  project: string,
  {
    args = [],
    wrapper = [],
    mayBeEmpty = false,
  }: { args?: readonly string[]; wrapper?: readonly string[]; mayBeEmpty?: boolean } = {},
): Count {
  const report = path.join(
    fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-report-')),
    'report.json',
  );
  const config = path.join('tests', suite, 'playwright.config.ts');
  const status = runTool(
    '@playwright/test/cli.js',
    ['test', '-c', config, '--project', project, '--reporter=list,json', ...args],
    { wrapper, env: { PLAYWRIGHT_JSON_OUTPUT_FILE: report } },
  );
  const stats = readReport<{ stats: Record<PlaywrightCount, number> }>(report)?.stats;
  if (mayBeEmpty && status === 0 && stats?.expected === 0) return NOTHING;
  // What did not run has not passed: a skipped test, or one behind a worker that broke off.
  return counted(status, stats?.expected, stats && stats.unexpected + stats.flaky + stats.skipped);
}

type PlaywrightCount = 'expected' | 'unexpected' | 'flaky' | 'skipped';

/** A suite that broke off without counting a failure, or counted nothing, has failed all the same. */
export function counted(status: number, passed = 0, failed = 0): Count {
  const broke = status !== 0 || passed === 0;
  return { passed, failed: broke ? Math.max(1, failed) : failed };
}

export function readReport<T>(file: string): T | undefined {
  return fs.existsSync(file) ? (JSON.parse(fs.readFileSync(file, 'utf8')) as T) : undefined;
}

/** Runs a tool of node_modules with this Node; returns its exit status. */
export function runTool(
  tool: string,
  args: readonly string[],
  { wrapper = [], env = {} }: { wrapper?: readonly string[]; env?: Record<string, string> } = {},
): number {
  const script = path.join(root, 'node_modules', tool);
  const [command, ...rest] = [...wrapper, process.execPath, script, ...args];
  const options = { cwd: root, stdio: 'inherit', env: { ...process.env, ...env } } as const;
  return spawnSync(command!, rest, options).status ?? 1;
}
