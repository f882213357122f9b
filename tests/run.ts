// `npm test`: every suite, the program built and a Chromium found or fetched first; ends with the line "N passed, N failed",
// after it how many did not run, and before it why.
import { buildAll, builtView } from '../app/build.ts';
import { desktopMeans } from './desktop/runtime.ts';
import { failureText } from './failed.ts';
import { getChromium } from './get-chromium.ts';
import {
  type Count,
  conclude,
  FAILED,
  type Means,
  playwright,
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
