// The built program, each scenario in a process of its own, on the stand-in for Electron (see standin/README.md).
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { expect, test } from '@playwright/test';
import { root } from './runtime.ts';

const scenarios = fs
  .readdirSync(path.join(import.meta.dirname, 'scenarios'))
  .filter((file) => file.endsWith('.ts') && file !== 'scenario.ts');

for (const file of scenarios) {
  test(file.replace('.ts', '').replaceAll('-', ' '), () => {
    const data = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-built-'));
    const { stdout, stderr } = run(data, file);
    fs.rmSync(data, { recursive: true, force: true });
    expect(stdout, stderr).toContain('The scenario passed.');
  });
}

/** A process that ended by itself in the middle has not passed, whatever its exit status. */
function run(data: string, file: string): { stdout: string; stderr: string } {
  return spawnSync(
    process.execPath,
    [
      ...['--import', new URL('standin/hook.ts', import.meta.url).href],
      path.join(import.meta.dirname, 'standin', 'run.ts'),
      ...[root, data, path.join(import.meta.dirname, 'scenarios', file)],
    ],
    { cwd: root, encoding: 'utf8', timeout: 280_000 },
  );
}
