// `npm test`: every suite, the program built and a Chromium found or fetched first; ends with the line "N passed, N failed",
// after it how many did not run, and before it why.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import { chromium } from '@playwright/test';
import { buildAll, builtView } from '../app/build.ts';
import { chromiumPath, type LaunchChoices, launchOptions, shellPath } from './browser/chromium.ts';
import { desktopMeans } from './desktop/runtime.ts';
import { failureText } from './failed.ts';
import {
  type Count,
  conclude,
  FAILED,
  type Means,
  playwright,
  runTool,
  vitest,
  without,
  workersOf,
} from './suites.ts';

const ready = await getChromium();
// Once for all suites that show it.
await buildAll();
process.env['RUNGWISE_TEST_VIEW'] = builtView;

type Suite = readonly [name: string, run: (means: Means) => Promise<Count>];
const whereChromium = (run: Suite[1]): Suite[1] => (ready ? run : () => Promise.resolve(FAILED));
const browser = (kind: Parameters<typeof workersOf>[0]): Suite => [
  `browser, ${kind}`,
  whereChromium((means) => playwright('browser', kind, { ...means, args: [workersOf(kind)] })),
];
const computing: Suite[] = [['unit', vitest], browser('quiet'), ['Electron', electron]];
/** These mostly wait for the music, and go first where they want the processor as well. */
const measured: Suite[] = [browser('heard')];
const played: Suite[] = [browser('played')];
const built: Suite[] = [
  ['the built program', whereChromium((means) => playwright('desktop', 'built', means))],
];
const results: (Count & { readonly name: string; readonly seconds: number })[] = [];
await Promise.all([
  runAll(computing, { yields: true }),
  runAll(measured, { aside: true })
    .then(() => Promise.all([played, built].map((suites) => runAll(suites, { aside: true }))))
    .then(() => runAll(computing, { yields: true, aside: true })),
]);
console.table(
  results.map(({ name, passed, failed, skipped, seconds }) => ({
    ...{ name, passed, failed, 'did not run': skipped.length, seconds },
  })),
);
for (const { name, failures } of results) {
  for (const failure of failures) console.log(failureText(name, failure));
}
conclude(results);

/** One suite after the other, until none is left. */
async function runAll(suites: Suite[], means: Means): Promise<void> {
  for (let next = suites.shift(); next; next = suites.shift()) {
    const [name, run] = next;
    const began = performance.now();
    const count = await run(means);
    const seconds = Math.round((performance.now() - began) / 1000);
    results.push({ name, ...count, seconds });
  }
}

async function electron(more: Means): Promise<Count> {
  const means = desktopMeans();
  if ('why' in means) return without(means.why);
  return playwright('desktop', 'electron', { ...more, wrapper: means.wrapper });
}

/** The entire Chromium, without which browser tests fail, and one without windows, which costs them less. */
async function getChromium(): Promise<boolean> {
  const ready = await get('Chromium', 'chromium', () => starts({ entire: true }));
  if (!ready) {
    console.error(
      'No Chromium can be had here (none installed, none fetched): the browser tests FAIL. ' +
        'Install Chromium or Chrome, then run npm test again.',
    );
    return false;
  }
  const light = await get('Chromium without windows', 'chromium-headless-shell', () =>
    shellPath() ? starts() : Promise.resolve(false),
  );
  if (!light) console.log('Every browser test takes the entire Chromium, and takes longer so.');
  return true;
}

/** An installed one; else Playwright's own; else Debian's, when root; else false. */
async function get(what: string, name: string, isThere: () => Promise<boolean>): Promise<boolean> {
  if (await isThere()) return true;
  console.log(`No ${what} is installed; fetching Playwright’s own …`);
  await runTool('@playwright/test/cli.js', ['install', name]);
  if (await isThere()) return true;
  if (process.getuid?.() !== 0 || !fs.existsSync('/etc/debian_version')) return false;
  console.log(`Installing Debian’s ${name} …`);
  spawnSync('apt-get', ['update'], { stdio: 'inherit' });
  spawnSync('apt-get', ['install', '-y', '--no-install-recommends', name], { stdio: 'inherit' });
  return isThere();
}

async function starts(choices: LaunchChoices = {}): Promise<boolean> {
  if (!chromiumPath(choices)) return false;
  try {
    const started = await chromium.launch(launchOptions(choices));
    await started.close();
    return true;
  } catch (error) {
    console.error(error instanceof Error ? error.message.split('\n')[0] : error);
    return false;
  }
}
