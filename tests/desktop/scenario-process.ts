// Runs a scenario in a process of its own, with a data folder of its own.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { expect } from '@playwright/test';
import { root } from './runtime.ts';

interface Output {
  readonly stdout: string;
  readonly stderr: string;
}

/** @param program The folder of the built program, with its package.json. */
export function runScenario(file: string, { program = root } = {}): Output {
  const data = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-built-'));
  const output = spawnSync(
    process.execPath,
    [
      ...['--import', new URL('standin/hook.ts', import.meta.url).href],
      path.join(import.meta.dirname, 'standin', 'run.ts'),
      ...[program, data, path.join(import.meta.dirname, 'scenarios', file)],
    ],
    { cwd: root, encoding: 'utf8', timeout: 280_000 },
  );
  fs.rmSync(data, { recursive: true, force: true });
  return output;
}

/** A process that ended by itself in the middle has not passed, whatever its exit status. */
export function expectPassed({ stdout, stderr }: Output): void {
  expect(stdout, stderr).toContain('The scenario passed.');
}
