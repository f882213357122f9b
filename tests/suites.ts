// Runs tools of node_modules as suites of tests, and says what each came to.
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import {
  type Failure,
  failedInPlaywright,
  failedInVitest,
  type PlaywrightReport,
  type Skipped,
  skippedInPlaywright,
  skippedInVitest,
  skippedText,
  type VitestReport,
} from './failed.ts';

const root = fileURLToPath(new URL('..', import.meta.url));

export interface Count {
  readonly passed: number;
  readonly failed: number;
  /** Those that the reports name. */
  readonly failures: readonly Failure[];
  readonly skipped: readonly Skipped[];
}

const NOTHING: Count = { passed: 0, failed: 0, failures: [], skipped: [] };
export const FAILED: Count = { ...NOTHING, failed: 1 };
/** A suite that a machine lacks something for. */
export const without = (missing: string): Count => ({
  ...NOTHING,
  skipped: [{ file: '', missing }],
});

/** Ends a run: what did not run and why, the sum, and the exit status. */
export function conclude(counts: readonly Count[]): void {
  const passed = counts.reduce((all, { passed }) => all + passed, 0);
  const failed = counts.reduce((all, { failed }) => all + failed, 0);
  const skipped = counts.flatMap(({ skipped }) => skipped);
  for (const line of skippedText(skipped)) console.log(line);
  const missed = skipped.length > 0 ? `, ${skipped.length} did not run` : '';
  console.log(`${passed} passed, ${failed} failed${missed}`);
  process.exitCode = failed > 0 ? 1 : 0;
}

/** How many tests of a kind run at once (the kinds: tests/browser/playwright.config.ts). */
export const BROWSER = [
  { name: 'quiet', workers: 3 },
  { name: 'played', workers: 3 },
  { name: 'heard', workers: 2 },
] as const;
export const workersOf = (kind: (typeof BROWSER)[number]['name']): string =>
  `--workers=${BROWSER.find(({ name }) => name === kind)!.workers}`;

/** The many processes of a run keep for each other what Node has compiled. */
const COMPILED = { NODE_COMPILE_CACHE: path.join(root, 'node_modules', '.cache', 'tests') };

/** How a tool is run. */
export interface Means {
  /** A command that gives windows a display. */
  readonly wrapper?: readonly string[];
  readonly env?: Readonly<Record<string, string>>;
  /** It only computes, and makes room for what sounds or waits for a hand. */
  readonly yields?: boolean;
  /** Its words are shown when it is over, since another tool speaks meanwhile. */
  readonly aside?: boolean;
}

interface PlaywrightChoices extends Means {
  readonly args?: readonly string[];
  /** Were files named that this may not have? */
  readonly mayBeEmpty?: boolean;
}

export async function vitest(means: Means): Promise<Count> {
  const report = reportFile();
  const { status, end } = await runSuite(
    'vitest/vitest.mjs',
    [
      'run',
      ...['-c', 'tests/vitest.config.ts'],
      ...['--reporter=default', '--reporter=json', `--outputFile.json=${report}`],
    ],
    means,
  );
  const read = readReport<VitestReport>(report);
  return counted(
    status,
    end,
    read && {
      passed: read.numPassedTests,
      failures: failedInVitest(read, root),
      skipped: skippedInVitest(read, root),
    },
  );
}

export async function playwright(
  suite: 'browser' | 'desktop',
  project: string,
  { args = [], mayBeEmpty = false, ...means }: PlaywrightChoices = {},
): Promise<Count> {
  const report = reportFile();
  const config = path.join('tests', suite, 'playwright.config.ts');
  const { status, end } = await runSuite(
    '@playwright/test/cli.js',
    ['test', '-c', config, '--project', project, '--reporter=list,json', ...args],
    { ...means, env: { ...means.env, PLAYWRIGHT_JSON_OUTPUT_FILE: report } },
  );
  const read = readReport<PlaywrightReport>(report);
  if (mayBeEmpty && status === 0 && read?.stats.expected === 0) return NOTHING;
  return counted(
    status,
    end,
    read && {
      passed: read.stats.expected,
      failures: failedInPlaywright(read, root),
      skipped: skippedInPlaywright(read),
    },
  );
}

/** A suite that broke off without naming a failure, or counted nothing, has failed all the same. */
function counted(status: number, end: string, read?: Omit<Count, 'failed'>): Count {
  const { passed, failures, skipped } = read ?? NOTHING;
  const broke = status !== 0 || passed + skipped.length === 0;
  const named =
    broke && failures.length === 0
      ? [{ file: '', title: `ended with status ${status} and names no test`, message: end }]
      : failures;
  return { passed, failed: named.length, failures: named, skipped };
}

const reportFile = (): string =>
  path.join(fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-report-')), 'report.json');

function readReport<T>(file: string): T | undefined {
  return fs.existsSync(file) ? (JSON.parse(fs.readFileSync(file, 'utf8')) as T) : undefined;
}

/** Runs a tool of node_modules with this Node; gives its exit status. */
export async function runTool(
  tool: string,
  args: readonly string[],
  means: Means = {},
): Promise<number> {
  return (await runSuite(tool, args, means)).status;
}

const LAST_LINES = 20;

/** @returns The exit status, and the last lines that were said. */
function runSuite(
  tool: string,
  args: readonly string[],
  { wrapper = [], env = {}, yields = false, aside = false }: Means,
): Promise<{ readonly status: number; readonly end: string }> {
  const script = path.join(root, 'node_modules', tool);
  const [command, ...rest] = [...wrapper, process.execPath, script, ...args];
  const child = spawn(command!, rest, {
    cwd: root,
    stdio: [aside ? 'ignore' : 'inherit', 'pipe', 'pipe'],
    env: { ...(process.stdout.isTTY && { FORCE_COLOR: '1' }), ...COMPILED, ...process.env, ...env },
  });
  if (yields && child.pid) os.setPriority(child.pid, os.constants.priority.PRIORITY_BELOW_NORMAL);
  const words: Buffer[] = [];
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (chunk: Buffer) => {
      words.push(chunk);
      if (!aside) process.stdout.write(chunk);
    });
  }
  return new Promise((resolve) => {
    child.on('error', (error) => {
      console.error(error.message);
      resolve({ status: 1, end: error.message });
    });
    child.on('close', (status) => {
      const said = Buffer.concat(words);
      if (aside) process.stdout.write(said);
      resolve({
        status: status ?? 1,
        end: said.toString().trimEnd().split('\n').slice(-LAST_LINES).join('\n'),
      });
    });
  });
}
