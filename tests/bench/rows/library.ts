// Speed and size of the machine side with a large library: one chart saved among 2,000, and the host's memory.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { writeChartText } from '../../../app/core/chart/notation/chart-text.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import { openTestServices } from '../../unit/services/samples.ts';
import type { BenchRow } from '../bench.ts';
import { quantile, timeRuns } from '../bench.ts';
import { memoryOfHost } from '../record/host-process.ts';

export const rows: BenchRow[] = [
  {
    name: 'chart-save-2000',
    what: 'one chart saved with 2,000 charts in the library, as a share of the same with 20; peer: the same library listed',
    unit: '×',
    goal: { at: '<=', value: 1.5 },
    measure: async () => {
      const [many, few] = await savedInTurn(2000, 20);
      return {
        value: many.save / few.save,
        peer: { name: 'listing 2,000 against 20', value: many.list / few.list },
        note: `medians: save ${many.save.toFixed(1)} ms among 2,000 and ${few.save.toFixed(1)} ms among 20; list ${many.list.toFixed(0)} and ${few.list.toFixed(1)} ms`,
      };
    },
  },
  {
    name: 'host-memory',
    what: 'resident memory of `npm start` in the browser host with 2,000 charts and 200,000 passes, after what Today, a climb’s set-up and History ask when they open; peer: the same with an empty folder',
    unit: 'MB',
    goal: { at: '<=', value: 150 },
    measure: async () => {
      const large = await memoryOf(2000, 200_000);
      const empty = await memoryOf(0, 0);
      return {
        value: large,
        peer: { name: 'empty folder', value: empty },
        note: 'the second start: the first one compiles',
      };
    },
  },
];

const [demo] = demoCharts();

export function fillCharts(folder: string, count: number): void {
  fs.mkdirSync(path.join(folder, 'charts'), { recursive: true });
  for (let n = 0; n < count; n++) {
    const chart = { ...demo!, id: `chart-${n}`, title: `Chart ${n}` };
    fs.writeFileSync(path.join(folder, 'charts', `Chart ${n}.chart.txt`), writeChartText(chart));
  }
}

interface Waits {
  readonly save: number;
  readonly list: number;
}

/** Saves in libraries of these sizes in turn, so that what else the machine does falls on all alike. */
async function savedInTurn(...counts: readonly [number, number]): Promise<[Waits, Waits]> {
  const libraries = counts.map((count) => new FilledLibrary(count));
  try {
    const lists: number[] = [];
    for (const library of libraries)
      lists.push(quantile(await timeRuns(5, () => library.list(), 1), 0.5));
    const saves = libraries.map((): number[] => []);
    for (let turn = 0; turn < 40; turn++) {
      for (const [i, library] of libraries.entries())
        saves[i]!.push(...(await timeRuns(1, () => library.save(), 0)));
    }
    const waits = libraries.map((_, i) => ({ save: quantile(saves[i]!, 0.5), list: lists[i]! }));
    return [waits[0]!, waits[1]!];
  } finally {
    for (const library of libraries) library.close();
  }
}

class FilledLibrary {
  readonly #folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-bench-'));
  readonly #host;
  #bpm = 60;

  constructor(count: number) {
    fillCharts(this.#folder, count);
    this.#host = openTestServices(this.#folder);
  }

  list = (): Promise<unknown> => this.#host.handle('charts.list', {});

  save = (): Promise<unknown> => {
    const tempo = { ...demo!.tempo, bpm: this.#bpm++ };
    return this.#host.handle('charts.save', {
      chart: { ...demo!, id: 'chart-7', title: 'Chart 7', tempo },
    });
  };

  close(): void {
    this.#host.close();
    fs.rmSync(this.#folder, { recursive: true, force: true });
  }
}

/** The last day of `fill-folder.ts`, and the beginning of its last year of practice. */
const LAST = '2030-03-17';
const YEAR = '2029-03-16';

const BARS = Array.from({ length: 40 }, (_, unit) => ({ chart: 'k-1', bars: `f-${unit}` }));
const standingAt = (bars: (typeof BARS)[number]) =>
  ({ ...bars, beat: 'quarter', target: 90, asOf: LAST }) as const;

/** What a view asks in this order when Today opens, then a climb's set-up, then History. */
const ASKED = [
  ['settings.read', {}],
  ['host.info', {}],
  ['charts.list', {}],
  ['ladders.list', {}],
  ['students.list', {}],
  ['log.units', {}],
  ['log.standings', { of: BARS.map(standingAt) }],
  ['log.worst', { of: BARS, latest: 60 }],
  ['log.lastTime', {}],
  ['log.days', { since: LAST }],
  ['log.passes', { since: LAST }],
  ['log.counts', { chart: 'k-1', since: YEAR }],
  ['log.units', { since: YEAR }],
  ['log.days', { since: YEAR }],
  ['log.course', { chart: 'k-1', unit: 'section:1', since: YEAR }],
  ['log.course', { chart: 'k-1', bars: 'f-1', since: YEAR, leadIn: true }],
  ['log.standings', { of: [standingAt(BARS[1]!)] }],
  ['log.changes', { chart: 'k-1', unit: 'section:1', since: YEAR }],
] as const;

/** Megabytes. The folder is filled by a process of its own. */
async function memoryOf(charts: number, passes: number): Promise<number> {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-bench-'));
  const script = fileURLToPath(new URL('../record/fill-folder.ts', import.meta.url));
  try {
    const arguments_ = [script, folder, String(charts), String(passes)];
    const filled = spawnSync(process.execPath, arguments_, { encoding: 'utf8' });
    if (filled.status !== 0) throw new Error(filled.stderr);
    await memoryOfHost(folder, []);
    return (await memoryOfHost(folder, ASKED)) / 1e6;
  } finally {
    fs.rmSync(folder, { recursive: true, force: true });
  }
}
