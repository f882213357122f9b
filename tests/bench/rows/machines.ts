// One player's machines: five of them over three months, and a long log told and taken in.
import fs from 'node:fs';
import path from 'node:path';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { liveMonths } from '../../support/machines/months.ts';
import { carry, Machine, openWorld, SURE } from '../../support/machines/own-machines.ts';
import type { BenchRow } from '../bench.ts';

const LONG = 200_000;

export const rows: BenchRow[] = [
  {
    name: 'machines-three-months',
    what: 'five machines of one player, 90 days, offline in turns, clocks years off, two restored from backups, files late, twice and in part, four of ten destroyed for everybody, twice, students removed for good: what differs, is lost, doubled, waited for in vain or still there of who was removed once all have met',
    unit: 'faults',
    goal: { at: '<=', value: 0 },
    measure: async () => {
      const all = await liveMonths({ days: 90, seed: 20, destroyed: 0.4, removes: true });
      const { differences, lost, doubled, missing, waited, traces } = all;
      const faults = [...differences, ...lost, ...doubled, ...missing, ...traces];
      return {
        value: faults.length + waited,
        note: `${all.passes} passes, ${all.charts} charts (${all.aside} as other versions), ${all.files} files, ${all.destroyed} destroyed, ${all.forGood} students removed for good; alike after ${all.rounds} rounds; ${all.seconds.toFixed(0)} s in all${faults.length > 0 ? `; first: ${faults[0]}` : ''}`,
      };
    },
  },
  {
    name: 'machines-long-log',
    what: '200,000 passes are there and one is played: the bytes written into the shared folder for it; beside it, how long the first machine tells them all and the second takes them in',
    unit: 'kB',
    goal: { at: '<=', value: 10 },
    measure: longLog,
  },
];

async function longLog() {
  const world = openWorld(1);
  const now = () => new Date();
  const [first, second] = [new Machine(world, 'one', now), new Machine(world, 'two', now)];
  try {
    await first.done('shared.choose', { folder: first.folder });
    for (let i = 0; i < LONG; i += 5_000)
      await first.call('log.append', {
        entries: Array.from({ length: 5_000 }, (_, k) => entry(i + k)),
      });
    await first.done('shared.own', { kind: 'begin', machine: 'One' });
    const told = await seconds(() => first.call('shared.sync', {}));
    const before = sizeOf(first.folder);
    await first.call('log.append', { entries: [entry(LONG)] });
    await first.call('shared.sync', {});
    const bytes = sizeOf(first.folder).bytes - before.bytes;
    carry(first.folder, second.folder, SURE, world.random);
    await second.done('shared.choose', { folder: second.folder });
    const { code } = (await first.call('shared.read', {})).own!;
    await second.done('shared.own', { kind: 'join', machine: 'Two', code });
    const taken = await seconds(() => second.call('shared.sync', {}));
    const again = await seconds(() => second.call('shared.sync', {}));
    const units = await second.call('log.units', {});
    const there = units.reduce((sum, { clean, missed }) => sum + clean + missed, 0);
    if (there !== LONG + 1) throw new Error(`only ${there} passes came over`);
    return {
      value: bytes / 1000,
      note: `${before.files} files of at most ${(before.largest / 1e6).toFixed(2)} MB, ${(before.bytes / 1e6).toFixed(0)} MB in all; told in ${told.toFixed(1)} s, taken in in ${taken.toFixed(1)} s; nothing new: ${(again * 1000).toFixed(0)} ms`,
    };
  } finally {
    first.close();
    second.close();
    world.close();
  }
}

async function seconds(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now();
  await work();
  return (performance.now() - start) / 1000;
}

function sizeOf(folder: string) {
  const sizes = fs
    .readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.rungshare'))
    .map((name) => fs.statSync(path.join(folder, name)).size);
  const bytes = sizes.reduce((sum, size) => sum + size, 0);
  return { files: sizes.length, bytes, largest: Math.max(0, ...sizes) };
}

/** Ten years of practice on forty units. */
function entry(n: number): LogEntry {
  const unit = `section:Part ${n % 40}`;
  const fingerprint = `bars-${n % 40}`;
  const at = new Date(Date.UTC(2021, 0, 1) + n * 1_577_000).toISOString();
  return {
    kind: 'pass',
    unit: { fingerprint, bars: [] },
    pass: {
      ...{ id: `p-${n}`, at, session: `s-${Math.floor(n / 30)}`, climb: `c-${Math.floor(n / 10)}` },
      chart: { id: 'k-1', title: 'Harbour Lights Are Out' },
      unit: { key: unit, name: `Part ${n % 40}`, fingerprint },
      rung: { bpm: 60 + (n % 60), beat: 'quarter', index: n % 9, of: 9, target: 120 },
      ...{ verdict: n % 4 === 3 ? 'missed' : 'clean', source: 'self', cold: n % 30 === 0 },
      duration: 11.4,
    },
  };
}
