// The built program, each scenario in a process of its own, on the stand-in for Electron (see standin/README.md).
import fs from 'node:fs';
import path from 'node:path';
import { test } from '@playwright/test';
import { expectPassed, runScenario } from './scenario-process.ts';

/** The feed and the packages that the updater asks for are of another kind on every system; this one is Linux's. */
const LINUX_ALONE = 'updates.ts';

const scenarios = fs
  .readdirSync(path.join(import.meta.dirname, 'scenarios'))
  .filter((file) => file.endsWith('.ts') && file !== 'scenario.ts')
  .filter((file) => file !== LINUX_ALONE || process.platform === 'linux');

for (const file of scenarios) {
  test(file.replace('.ts', '').replaceAll('-', ' '), () => expectPassed(runScenario(file)));
}
