// The built program on the stand-in for Electron (see standin/README.md): each start is a process of its own.
import fs from 'node:fs';
import path from 'node:path';
import { expect, test } from '@playwright/test';
import { expectPassed, runScenarios } from './scenario-process.ts';

/** A start costs more than most of what is looked at in it: these are played one after the other in the same one. */
const STARTS = [
  ['killed-and-again', 'crash'],
  ['sleep-and-hide', 'climb'],
  ['started-with-a-chart', 'files', 'strangers'],
  ['off-screen', 'menu', 'pdf'],
  ['updates'],
];
/** The feed and the packages that the updater asks for are of another kind on every system; this one is Linux's. */
const LINUX_ALONE = 'updates';
/** Seen in the package: see package.spec.ts. */
const PACKED = 'first-screen';

for (const names of STARTS) {
  if (names.includes(LINUX_ALONE) && process.platform !== 'linux') continue;
  const title = names.join(', then ').replaceAll('-', ' ');
  test(title, () => expectPassed(runScenarios(names)));
}

test('no scenario is left out', () => {
  const files = fs
    .readdirSync(path.join(import.meta.dirname, 'scenarios'))
    .filter((file) => file.endsWith('.ts') && file !== 'scenario.ts');
  const played = [...STARTS.flat(), PACKED].map((name) => `${name}.ts`);
  expect(files.toSorted()).toEqual(played.toSorted());
});
