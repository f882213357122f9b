// Every stored file spoilt in every way, bit by bit too: the program starts, shows nothing false, and names what is wrong.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { type Problem, unwrap } from '../../../app/core/base/result.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import { ChartFolder } from '../../../app/services/machine/charts/chart-folder.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import { takeFolder } from '../../../app/services/machine/store/data-folder.ts';
import { dice } from '../../bench/honest/players.ts';
import {
  openTestServices,
  passEntry,
  sampleChart,
  sampleLadder,
  temporaryDirectory,
  viewOf,
} from '../../unit/services/samples.ts';
import { SCALE, told } from './scale.ts';

let root: string;
let host: ServiceHost | undefined;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => {
  close();
  for (const folder of [root, copy(), place()]) fs.rmSync(folder, { recursive: true, force: true });
});

const copy = (): string => `${root}-copy`;
const place = (): string => `${root}-shared`;
function open(directory: string): Services {
  host = openTestServices(directory);
  return viewOf(host);
}
function close(): void {
  host?.close();
  host = undefined;
}

/** What the folder holds, each part as text. */
type Held = ReadonlyMap<string, string>;

/** Everything that can be asked for, and what is said to be wrong. */
async function ask(view: Services): Promise<{ held: Held; problems: readonly Problem[] }> {
  const held = new Map<string, string>();
  const problems: Problem[] = [];
  const log = await view.call('log.passes', {});
  for (const pass of log.passes) held.set(`pass ${pass.id}`, JSON.stringify(pass));
  // Sums of seconds may differ in digits that nobody sees.
  const days = await view.call('log.days', {});
  held.set(
    'days',
    JSON.stringify(days.map((day) => ({ ...day, minutes: day.minutes.toFixed(6) }))),
  );
  const { charts } = await view.call('charts.list', {});
  for (const { id } of charts) {
    const chart = await view.call('charts.open', { id });
    if (chart.ok) held.set(`chart ${id}`, JSON.stringify(chart.value));
    else problems.push(...chart.problems);
  }
  for (const ladder of await view.call('ladders.list', {}))
    held.set(`ladder ${ladder.chart} ${ladder.unit}`, JSON.stringify(ladder));
  const desk = await view.call('students.list', {});
  for (const student of desk.students) held.set(`student ${student.id}`, JSON.stringify(student));
  const read = await view.call('settings.read', {});
  held.set('settings', JSON.stringify(read.settings));
  const shared = await view.call('shared.read', {});
  held.set('shared folder', JSON.stringify([shared.folder, shared.own?.code]));
  if (shared.carrier?.trouble) problems.push(shared.carrier.trouble);
  const library = await view.call('charts.list', {});
  const info = await view.call('host.info', {});
  problems.push(...log.problems, ...read.problems, ...library.problems, ...info.problems);
  return { held, problems };
}

/** A folder with something of everything, each with a copy. */
async function fill(locked = SCALE.long): Promise<Held> {
  const view = open(root);
  const entries = Array.from({ length: 120 }, (_, i) =>
    passEntry(`p${i}`, { at: new Date(1.93e12 + i * 6e7).toISOString(), climb: `c${i % 7}` }),
  );
  await view.call('log.append', { entries });
  await view.call('settings.write', { patch: { theme: 'dark', levels: { click: 0.5 } } });
  await view.call('ladders.save', sampleLadder('k-1', 'form'));
  await view.call('students.save', {
    student: {
      id: 'st-1',
      name: 'Ada',
      since: '2031-04-05T18:20:00Z',
      assignments: [],
      comments: [],
    },
  });
  for (const [i, chart] of demoCharts().slice(0, 2).entries())
    await view.call('charts.save', { chart: { ...chart, id: `k-${i}` } });
  await view.call('charts.save', { chart: sampleChart('gone', { title: 'Deleted' }) });
  await view.call('charts.remove', { id: 'gone' });
  fs.mkdirSync(place());
  unwrap(await view.call('shared.choose', { folder: place() }));
  unwrap(await view.call('shared.own', { kind: 'begin', machine: 'Laptop' }));
  if (locked) unwrap(await view.call('shared.lock', { passphrase: 'four grey herons wading' }));
  await view.call('shared.sync', {});
  const { held } = await ask(view);
  await host!.log()!.backUp(new Date());
  close();
  await lookThroughCharts();
  // The small files are copied when they are opened.
  open(root);
  close();
  return held;
}

async function lookThroughCharts(): Promise<void> {
  const charts = path.join(root, 'charts');
  // Whole seconds, which every copy of a file keeps exactly.
  for (const name of fs.readdirSync(charts)) fs.utimesSync(path.join(charts, name), 1.9e9, 1.9e9);
  const folder = takeFolder(root);
  const options = { now: () => new Date(), newId: () => 'new', demo: () => [] };
  await new ChartFolder({ folder, ...options }).lookThrough(() => undefined);
  folder.release();
}

const filesIn = (folder: string): string[] =>
  fs
    .readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => fs.statSync(path.join(folder, name)).isFile())
    .filter((name) => path.basename(name) !== 'lock.sqlite');

const isCopy = (name: string): boolean => /^(backups|removed-charts)[\\/]/.test(name);

/** Opens a spoilt copy of the folder: what it shows is what was written, or it says what is wrong, by name and with a cure. */
async function holds(written: Held, name: string, what: string): Promise<'told' | 'same'> {
  const { held, problems } = await ask(open(copy()));
  close();
  for (const { message, cure } of problems) {
    expect(message, what).toMatch(/\p{L}{3}/u);
    expect(cure, what).toMatch(/\p{L}{3}/u);
  }
  const same = [...written].every(([key, value]) => held.get(key) === value);
  if (problems.length === 0) {
    const changed = [...written].filter(([key, value]) => held.get(key) !== value);
    // A chart whose file is gone was deleted by somebody; its copies offer it.
    const silent = changed.filter(([key]) => !(key.startsWith('chart') && !held.has(key)));
    expect(silent, `${what}: changed without a word`).toEqual([]);
    return 'same';
  }
  if (!same && !isCopy(name)) {
    // “settings.json” may be named by one setting.
    const stem = path.basename(name).split('.')[0]!.replace(/s$/, '');
    const words = problems.map(({ message }) => message).join(' ');
    expect(words, what).toMatch(new RegExp(`${stem.replace('-', '.')}|\\blog\\b`, 'i'));
  }
  // Of the log nothing is ever shown that was not written.
  for (const [key, value] of held)
    if (key.startsWith('pass')) expect(value, what).toBe(written.get(key));
  return 'told';
}

const WAYS: Readonly<Record<string, (file: string) => void>> = {
  emptied: (file) => fs.truncateSync(file, 0),
  'without its last byte': (file) => fs.truncateSync(file, fs.statSync(file).size - 1),
  halved: (file) => fs.truncateSync(file, Math.floor(fs.statSync(file).size / 2)),
  'cut to a page': (file) => fs.truncateSync(file, Math.min(4096, fs.statSync(file).size)),
  'replaced by text': (file) => fs.writeFileSync(file, 'something else '.repeat(300)),
  'replaced by a folder': (file) => {
    fs.rmSync(file);
    fs.mkdirSync(file);
  },
  'of a newer version': (file) => fs.writeFileSync(file, '{"schemaVersion":99}'),
  'of a wrong type': (file) =>
    fs.writeFileSync(
      file,
      '{"schemaVersion":1,"items":[7,{"id":[]}],"removed":[{"at":7}],"theme":7,"levels":[]}',
    ),
  gone: (file) => fs.rmSync(file),
};

it.each(Object.keys(WAYS))(
  'every stored file %s: the program starts, names it, and shows nothing false',
  async (way) => {
    const written = await fill();
    const names = filesIn(root);
    let noticed = 0;
    for (const name of names) {
      fs.cpSync(root, copy(), { recursive: true, preserveTimestamps: true });
      WAYS[way]!(path.join(copy(), name));
      if ((await holds(written, name, `${name} ${way}`)) === 'told') noticed++;
      fs.rmSync(copy(), { recursive: true, force: true });
    }
    told(`${names.length} files ${way}: ${noticed} told, the others changed nothing`);
  },
  SCALE.milliseconds,
);

it.each([
  ['the log', SCALE.flipsInLog, (name: string) => name === 'log.sqlite'],
  ['everything else', SCALE.flipsElsewhere, (name: string) => name !== 'log.sqlite'],
] as const)(
  'one bit flipped in %s, %d times: it is noticed, or nothing is changed by it',
  async (where, flips, chosen) => {
    const written = await fill();
    // What is in use as often as its copies.
    const all = filesIn(root).filter(chosen);
    const names = all.filter((name) => !isCopy(name));
    const roll = dice(20310405);
    let noticed = 0;
    for (let n = 0; n < flips; n++) {
      const from = roll() < 0.2 ? all : names;
      const name = from[Math.floor(roll() * from.length)]!;
      fs.cpSync(root, copy(), { recursive: true, preserveTimestamps: true });
      const file = path.join(copy(), name);
      const { atime, mtime } = fs.statSync(file);
      const bytes = fs.readFileSync(file);
      const bit = Math.floor(roll() * bytes.length * 8);
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      fs.writeFileSync(file, bytes);
      fs.utimesSync(file, atime, mtime);
      if ((await holds(written, name, `${name} bit ${bit}`)) === 'told') noticed++;
      fs.rmSync(copy(), { recursive: true, force: true });
    }
    told(`${flips} bits flipped in ${where}: ${noticed} told, the others changed nothing`);
  },
  SCALE.milliseconds,
);
