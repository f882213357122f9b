// `npm run test:desktop`: the built program on the stand-in, then Electron itself, or a sentence why it cannot run.
import { NOTHING, playwright, sum } from '../suites.ts';
import { desktopMeans } from './runtime.ts';

const args = process.argv.slice(2);
const means = desktopMeans();
if ('why' in means) console.log(means.why);
const built = await playwright('desktop', 'built', { args });
const electron =
  'why' in means
    ? NOTHING
    : await playwright('desktop', 'electron', { args, wrapper: means.wrapper });
const { passed, failed } = sum([built, electron]);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 ? 1 : 0;
