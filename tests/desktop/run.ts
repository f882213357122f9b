// `npm run test:desktop`: the built program on the stand-in, then Electron itself, or a sentence why it cannot run.
import { playwright, sum } from '../suites.ts';
import { desktopMeans } from './runtime.ts';

const args = process.argv.slice(2);
const means = desktopMeans();
if ('why' in means) console.log(means.why);
const { passed, failed } = sum([
  playwright('desktop', 'built', { args }),
  ...('why' in means ? [] : [playwright('desktop', 'electron', { args, wrapper: means.wrapper })]),
]);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
