// Runs scenarios in a process of their own, with a data folder of their own.
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

/**
 * @param names Of scenarios that one start plays, one after the other.
 * @param program The folder of the built program, with its package.json.
 */
export function runScenarios(names: readonly string[], { program = root } = {}): Output {
  const files = names.map((name) => path.join(import.meta.dirname, 'scenarios', `${name}.ts`));
  const data = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-built-'));
  const output = spawnSync(
    process.execPath,
    [
      ...['--import', new URL('standin/hook.ts', import.meta.url).href],
      path.join(import.meta.dirname, 'standin', 'run.ts'),
      ...[program, data, files.join(path.delimiter)],
    ],
    { cwd: root, encoding: 'utf8', timeout: 280_000 },
  );
  fs.rmSync(data, { recursive: true, force: true });
  return output;
}

/** A process that ended by itself in the middle has not passed, whatever its exit status. */
export function expectPassed({ stdout, stderr }: Output): void {
  expect(stdout, stderr).toContain('All of it passed.');
}
