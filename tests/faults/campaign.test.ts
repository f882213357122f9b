// A campaign against the data folder: killed while writing and at the start, every stored file spoilt in every way.
// `npm test` runs a short form; `npm run campaign` the long one (CAMPAIGN=long).
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { PassRecord } from '../../app/core/model/pass.ts';
import { servicesOver } from '../../app/services/client/client.ts';
import type { Services } from '../../app/services/contract/contract.ts';
import { demoCharts } from '../../app/services/machine/demo-charts.ts';
import type { ServiceHost } from '../../app/services/machine/host.ts';
import { fullFlaw } from '../../app/services/machine/log/check-log.ts';
import { dice } from '../bench/honest/players.ts';
import {
  openTestServices,
  passEntry,
  sampleLadder,
  temporaryDirectory,
} from '../unit/services/samples.ts';

const LONG = process.env['CAMPAIGN'] === 'long';
const KILLS = LONG ? 200 : 4;
const KILLS_AT_START = LONG ? 75 : 4;
const FLIPS = LONG ? 400 : 40;
const LIMIT_MS = LONG ? 3_600_000 : 240_000;

let root: string;
let host: ServiceHost | undefined;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => {
  host?.close();
  host = undefined;
  fs.rmSync(root, { recursive: true, force: true });
});

function open(directory = root): Services {
  host = openTestServices(directory, { demoCharts: demoCharts() });
  return servicesOver({ call: host.handle, on: () => () => undefined });
}
function close(): void {
  host?.close();
  host = undefined;
}

/** Runs the appender until it has said `words` passes, then kills it; the passes it said were stored. */
async function appendAndKill(run: number, after: number): Promise<string[]> {
  const script = fileURLToPath(new URL('store-appender.ts', import.meta.url));
  const child = spawn(process.execPath, [script, root, String(run)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let said = '';
  if (after === 0) setTimeout(() => child.kill('SIGKILL'), 20 + ((run * 37) % 600));
  child.stdout.on('data', (chunk: Buffer) => {
    said += chunk.toString();
    if (after > 0 && said.split('\n').length > after) child.kill('SIGKILL');
  });
  await new Promise((resolve) => child.on('close', resolve));
  // A line that was cut off by the kill was not wholly said.
  return said
    .slice(0, said.lastIndexOf('\n') + 1)
    .split('\n')
    .filter(Boolean);
}

describe('killed', () => {
  it(
    `${KILLS} times while writing and ${KILLS_AT_START} times at the start: nothing acknowledged is lost`,
    async () => {
      const said: string[] = [];
      for (let run = 0; run < KILLS; run++) said.push(...(await appendAndKill(run, 1 + (run % 9))));
      for (let run = 0; run < KILLS_AT_START; run++)
        said.push(...(await appendAndKill(1000 + run, 0)));
      const view = open();
      const there = new Set((await view.call('log.passes', {})).passes.map(({ id }) => id));
      expect(said.length).toBeGreaterThanOrEqual(KILLS);
      expect(said.filter((id) => !there.has(id))).toEqual([]);
      expect((await view.call('host.info', {})).problems).toEqual([]);
      expect(fullFlaw(host!.log()!.database)).toBeUndefined();
    },
    LIMIT_MS,
  );
});

/** A folder with something of everything, and what its log holds. */
async function fill(): Promise<readonly PassRecord[]> {
  const view = open();
  const entries = Array.from({ length: 120 }, (_, i) =>
    passEntry(`p${i}`, { at: new Date(1.93e12 + i * 6e7).toISOString(), climb: `c${i % 7}` }),
  );
  await view.call('log.append', { entries });
  await view.call('settings.write', { patch: { theme: 'dark' } });
  await view.call('ladders.save', sampleLadder('demo', 'form'));
  const { passes } = await view.call('log.passes', {});
  await host!.log()!.backUp(new Date());
  close();
  return passes;
}

const filesIn = (folder: string): string[] =>
  fs
    .readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => fs.statSync(path.join(folder, name)).isFile())
    .filter((name) => path.basename(name) !== 'lock.sqlite');

/** Opens a spoilt copy: it starts, and what it shows of the log is what was written, or it says what is wrong. */
async function holds(copy: string, passes: readonly PassRecord[], what: string): Promise<void> {
  const view = open(copy);
  const shown = await view.call('log.passes', {});
  const { problems } = await view.call('host.info', {});
  const library = await view.call('charts.list', {});
  const same = JSON.stringify(shown.passes) === JSON.stringify(passes);
  const said = problems.length + shown.problems.length > 0;
  expect(same || said, what).toBe(true);
  // What is shown is never something else than was written.
  const written = new Map(passes.map((pass) => [pass.id, JSON.stringify(pass)]));
  for (const pass of shown.passes) expect(JSON.stringify(pass), what).toBe(written.get(pass.id));
  expect(library.charts.length + library.problems.length, what).toBeGreaterThan(0);
  for (const { message, cure } of problems) expect(message !== '' && cure !== '', what).toBe(true);
  close();
}

describe('every stored file', () => {
  const spoil: Readonly<Record<string, (file: string) => void>> = {
    emptied: (file) => fs.truncateSync(file, 0),
    halved: (file) => fs.truncateSync(file, Math.floor(fs.statSync(file).size / 2)),
    'replaced by text': (file) => fs.writeFileSync(file, 'something else '.repeat(300)),
    'replaced by a folder': (file) => {
      fs.rmSync(file);
      fs.mkdirSync(file);
    },
    'of a newer version': (file) => fs.writeFileSync(file, '{"schemaVersion":99}'),
    gone: (file) => fs.rmSync(file),
  };

  it.each(Object.keys(spoil))(
    '%s: the program starts, names it, and shows nothing false',
    async (way) => {
      const passes = await fill();
      for (const name of filesIn(root)) {
        const copy = `${root}-copy`;
        fs.cpSync(root, copy, { recursive: true });
        spoil[way]!(path.join(copy, name));
        await holds(copy, passes, `${name} ${way}`);
        fs.rmSync(copy, { recursive: true, force: true });
      }
    },
    LIMIT_MS,
  );

  it(
    `with one bit of the log flipped, ${FLIPS} times: it is noticed, or nothing is changed by it`,
    async () => {
      const passes = await fill();
      const file = path.join(root, 'log.sqlite');
      const bits = fs.statSync(file).size * 8;
      const roll = dice(20310405);
      for (let n = 0; n < FLIPS; n++) {
        const bit = Math.floor(roll() * bits);
        const copy = `${root}-copy`;
        fs.cpSync(root, copy, { recursive: true });
        const bytes = fs.readFileSync(file);
        bytes[bit >> 3]! ^= 1 << (bit & 7);
        fs.writeFileSync(path.join(copy, 'log.sqlite'), bytes);
        await holds(copy, passes, `bit ${bit}`);
        fs.rmSync(copy, { recursive: true, force: true });
      }
    },
    LIMIT_MS,
  );
});
