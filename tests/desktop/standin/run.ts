// `node --import ./hook.ts run.ts ROOT DATA SCENARIOS [ARGUMENT …]`: runs the built program of ROOT on the stand-in.
// Where SCENARIOS names several files, as a search path does, one start plays them one after the other.
import fs from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { play, type Scenario } from '../scenarios/scenario.ts';
import { app } from './app.ts';
import { start } from './chromium.ts';
import { engine, record } from './record.ts';

const [root, data, files, ...given] = process.argv.slice(2) as [
  string,
  string,
  string,
  ...string[],
];
engine.root = path.resolve(root);
process.on('unhandledRejection', (error) => record.violations.push(['unhandled', String(error)]));
process.on('uncaughtException', (error) => record.violations.push(['uncaught', String(error)]));

// A program that breaks off before the scenario begins leaves nothing to wait for: it ends here.
let finished = false;
process.on('exit', () => {
  if (!finished) console.error('The program broke off.', record.errorBoxes, record.violations);
});

const manifest = fs.readFileSync(path.join(engine.root, 'package.json'), 'utf8');
const { main } = JSON.parse(manifest) as { main: string };
const where = { data, root: engine.root };
const scenarios = await Promise.all(files.split(path.delimiter).map(read));
const more: string[] = [];
for (const { before } of scenarios) more.push(...((await before?.(where)) ?? []));
process.argv = ['electron', engine.root, `--data=${data}`, ...more, ...given];
await import(pathToFileURL(path.join(engine.root, main)).href);
if (!app.quitting) await start(scenarios.flatMap(({ chromium = [] }) => chromium));
try {
  await play(scenarios, where);
  console.log('All of it passed.');
} catch (error) {
  console.error(error, record.errorBoxes, record.console, record.violations);
  process.exitCode = 1;
}
finished = true;
await app.end();
process.exit();

async function read(file: string): Promise<Scenario> {
  const module = (await import(pathToFileURL(path.resolve(file)).href)) as { default: Scenario };
  return module.default;
}
