// Speed of the practice log: one pass logged with ten years on disk, and 200,000 passes loaded.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import Conf from 'conf';
import type { LogEntry, PlayedUnit } from '../../../app/core/model/pass.ts';
import { unpackHistory } from '../../../app/services/contract/unpack-history.ts';
import { packLog } from '../../../app/services/contract/packed-log.ts';
import type { LogStore } from '../../../app/services/machine/store/log-store.ts';
import { openLogStore } from '../../../app/services/machine/store/log-store.ts';
import type { StoreEngine } from '../../../app/services/machine/store/store-file.ts';
import type { BenchRow } from '../bench.ts';
import { quantile, timeRuns } from '../bench.ts';

const PASSES = 200_000;
const MONTHS = 120;
const FIRST_YEAR = 2021;

export const rows: BenchRow[] = [
  {
    name: 'log-append-p95',
    what: 'one pass logged and synced to disk with ten years of history there; peer: electron-store’s base writing the same pass into the month’s file',
    unit: 'ms',
    goal: { at: '<=', value: 5 },
    measure: () =>
      withTenYears(async (directory, log) => {
        let id = 0;
        const times = await timeRuns(200, () => log.append([entry(`new-${id++}`, 3, 119)]));
        const peer = await timeRuns(30, wholeFilePeer(directory));
        return {
          value: quantile(times, 0.95),
          peer: { name: 'conf, whole month, p95', value: quantile(peer, 0.95) },
          note: `200 appends; median ${quantile(times, 0.5).toPrecision(3)} ms`,
        };
      }),
  },
  {
    name: 'history-load-200k',
    what: '200,000 passes read from 120 months, checked, unpacked, amended and put in order; peer: JSON.parse of the same passes as plain records',
    unit: 'ms',
    goal: { at: '<=', value: 500 },
    measure: () =>
      withTenYears(async (directory, log) => {
        // The first load makes the dated backups, as the first start of a day does; it is reported apart.
        const [first] = await timeRuns(1, () => unpackHistory(log.history()), 0);
        const times = await timeRuns(5, () => unpackHistory(log.history()), 0);
        const plain = JSON.stringify(unpackHistory(log.history()).passes);
        const peer = await timeRuns(3, () => JSON.parse(plain), 0);
        const { passes } = unpackHistory(log.history());
        if (passes.length !== PASSES) throw new Error(`loaded ${passes.length} passes`);
        return {
          value: quantile(times, 0.5),
          peer: { name: 'JSON.parse of plain records', value: quantile(peer, 0.5) },
          note: `median of 5; with making all backups ${first!.toFixed(0)} ms; ${(folderSize(path.join(directory, 'log')) / 1e6).toFixed(1)} MB on disk`,
        };
      }),
  },
];

/** 200,000 passes over 120 months and 40 units, as months on disk in a temporary directory. */
async function withTenYears<T>(work: (directory: string, log: LogStore) => Promise<T>): Promise<T> {
  const directory = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-bench-'));
  try {
    writeMonths(path.join(directory, 'log'));
    const log = openLogStore({
      directory: path.join(directory, 'log'),
      engine: Conf as unknown as StoreEngine,
      keeping: { root: directory, now: () => new Date() },
    });
    const result = await work(directory, log);
    log.close();
    return result;
  } finally {
    fs.rmSync(directory, { recursive: true, force: true });
  }
}

function writeMonths(folder: string): void {
  fs.mkdirSync(folder, { recursive: true });
  const perMonth = Math.ceil(PASSES / MONTHS);
  for (let month = 0; month < MONTHS; month++) {
    const count = Math.min(perMonth, PASSES - month * perMonth);
    const entries = Array.from({ length: count }, (_, i) =>
      entry(crypto.randomUUID(), i / count, month),
    );
    const text = JSON.stringify({ schemaVersion: 1, ...packLog(entries) });
    fs.writeFileSync(path.join(folder, `${monthName(month)}.json`), text);
  }
}

const monthName = (month: number): string =>
  `${FIRST_YEAR + Math.floor(month / 12)}-${String((month % 12) + 1).padStart(2, '0')}`;

/** A pass at this share (0–1) of the month. */
function entry(id: string, share: number, month: number): LogEntry {
  const day = 1 + Math.floor((share % 1) * 27);
  const second = Math.floor((share * 27 * 7200) % 7200);
  const clock = new Date(second * 1000).toISOString().slice(11, 23);
  const unit = UNITS[Math.floor(share * 97) % UNITS.length]!;
  const sitting = `${month}-${day}`;
  return {
    kind: 'pass',
    unit,
    pass: {
      id,
      at: `${monthName(month)}-${String(day).padStart(2, '0')}T${clock}+02:00`,
      session: `s-${sitting}`,
      climb: `c-${sitting}-${unit.fingerprint}`,
      chart: { id: 'k', title: 'Chalk on the Gate' },
      unit: { key: `section:${unit.fingerprint}`, name: 'Verse', fingerprint: unit.fingerprint },
      rung: { bpm: 60 + (second % 40), beat: 'quarter', index: second % 9, of: 9, target: 120 },
      verdict: second % 4 === 0 ? 'missed' : 'clean',
      source: 'self',
      cold: second % 30 === 0,
      duration: 20 + (second % 13) / 7,
    },
  };
}

const UNITS: readonly PlayedUnit[] = Array.from({ length: 40 }, (_, n) => ({
  fingerprint: `u-${n}`,
  bars: Array.from({ length: 8 }, (_, bar) => ({
    section: 'Verse',
    bar: bar + 1,
    time: 1,
    meter: { numerator: 4, unit: 4, grouping: [1, 1, 1, 1] },
    feel: { kind: 'straight' },
    tempo: { bpm: 90, beat: 'quarter' },
    length: { n: 4, d: 1 },
    pickup: false,
    chords: [{ at: { n: 0, d: 1 }, symbol: 'Am7' }],
  })),
}));

/** What a plain use of the store would do: set one key, and so rewrite the whole month. */
function wholeFilePeer(directory: string): () => void {
  const store = new Conf({ cwd: directory, configName: 'peer', projectVersion: '1.0.0' });
  const perMonth = Math.ceil(PASSES / MONTHS);
  const passes = Array.from({ length: perMonth }, (_, i) => entry(`p-${i}`, i / perMonth, 0));
  store.set('passes', passes);
  return () => store.appendToArray('passes', entry('one-more', 0.5, 0));
}

const folderSize = (folder: string): number =>
  fs.readdirSync(folder).reduce((sum, name) => sum + fs.statSync(path.join(folder, name)).size, 0);
