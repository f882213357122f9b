// `npm run test:desktop`: the built program on the stand-in, then Electron itself, or a sentence why it cannot run.
import { conclude, playwright, without } from '../suites.ts';
import { desktopMeans } from './runtime.ts';

const args = process.argv.slice(2);
const means = desktopMeans();
conclude([
  await playwright('desktop', 'built', { args }),
  'why' in means
    ? without(means.why)
    : await playwright('desktop', 'electron', { args, wrapper: means.wrapper }),
]);
