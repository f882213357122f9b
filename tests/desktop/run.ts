// `npm run test:desktop`: the Electron suite where it can run; where it cannot, a sentence that says so.
import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { desktopMeans, root } from './runtime.ts';

const means = desktopMeans();
if ('why' in means) {
  console.log(means.why);
} else {
  const [command, ...args] = [
    ...means.wrapper,
    process.execPath,
    path.join(root, 'node_modules', '@playwright', 'test', 'cli.js'),
    'test',
    '-c',
    path.join(root, 'tests', 'desktop', 'playwright.config.ts'),
    ...process.argv.slice(2),
  ];
  const { status } = spawnSync(command!, args, { stdio: 'inherit', cwd: root });
  process.exitCode = status ?? 1;
}
