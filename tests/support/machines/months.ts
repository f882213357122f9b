// Five machines of one player over some months: offline in turns, with wrong clocks, two of them restored from backups,
// and now and then files are destroyed for everybody.
import fs from 'node:fs';
import path from 'node:path';
import { mock } from 'node:test';
import { carry, destroy, Machine, openWorld, stateOf, SURE, type World } from './own-machines.ts';
import type { Patience } from '../../../app/services/machine/shared/patience.ts';
import { type Done, nothingDone, practise } from './player.ts';
import { removeForGood, teach } from './teacher.ts';

export interface Months {
  readonly days: number;
  readonly seed: number;
  readonly machines?: number;
  /** Share of the files that are destroyed for everybody, twice. */
  readonly destroyed?: number;
  /** Are students removed for good, now and then? */
  readonly removes?: boolean;
}

export interface Outcome {
  /** Parts of the state that differ between machines, at the end; empty where all agree. */
  readonly differences: readonly string[];
  readonly passes: number;
  /** Passes that were played and are not there, or are there twice. */
  readonly lost: readonly string[];
  readonly doubled: readonly string[];
  /** Tasks and questions of the player that are not there, and students who were taken off the list and are. */
  readonly missing: readonly string[];
  /** On the teacher's list, and passes of theirs. */
  readonly students: number;
  readonly reported: number;
  /** Removed for good, and files in which something of them is still to be found. */
  readonly forGood: number;
  readonly traces: readonly string[];
  readonly charts: number;
  /** Charts that stand as another version of one. */
  readonly aside: number;
  readonly files: number;
  /** Files that were destroyed for everybody. */
  readonly destroyed: number;
  /** Numbers that somebody waits for in vain. */
  readonly waited: number;
  /** Rounds until nothing more was written once all were online. */
  readonly rounds: number;
  readonly seconds: number;
}

/** A clock that is some or thousands of years off, before and after all that can be written, stands still or runs back. */
const clockOf = (i: number, day: () => number): (() => Date) => {
  const offsets = [0, -2_600 * 365, 400, -1, 8_600 * 365] as const;
  let ticks = 0;
  return () => {
    const wandering = i === 2 ? -2 * day() : i === 3 ? 0 : day();
    return new Date(
      Date.UTC(2031, 0, 1) + (wandering + offsets[i % 5]!) * 86_400_000 + (ticks += 1_000),
    );
  };
};

/** Looks are few, so that what is destroyed counts as lost within days. */
const PATIENCE: Patience = { own: 1, others: 2 };

/**
 * The same seed always gives the same: clocks and ids are the machines' own, and nothing happens by timers, so that it
 * does not matter how fast it is lived.
 */
export async function liveMonths({
  days,
  seed,
  machines = 5,
  destroyed = 0,
  removes = false,
}: Months): Promise<Outcome> {
  const start = performance.now();
  mock.timers.enable({ apis: ['setTimeout', 'setInterval'] });
  const world = openWorld(seed);
  let day = 0;
  const all = Array.from(
    { length: machines },
    (_, i) =>
      new Machine(
        world,
        `m${i + 1}`,
        clockOf(i, () => day),
        PATIENCE,
      ),
  );
  try {
    await joinAll(all, world);
    const done = nothingDone();
    const folders = [world.hub, ...all.map(({ folder }) => folder)];
    const gone: string[] = [];
    for (; day < days; day++) {
      if (DESTROYED_AT.some((part) => day === Math.floor(days * part)))
        gone.push(...destroy(folders, destroyed, world.random));
      if (removes && REMOVED_AT.some((part) => day === Math.floor(days * part)))
        await removeForGood(all[day % all.length]!, done);
      await liveDay(all, day, days, world, done);
    }
    const rounds = await agree(all, world);
    const outcome = await outcomeOf(all, done);
    all.forEach((machine) => machine.restart());
    return {
      ...{ ...outcome, rounds, destroyed: gone.length },
      traces: tracesOf(done.forGood, [
        world.hub,
        ...all.flatMap(({ data, folder }) => [data, folder]),
      ]),
      seconds: (performance.now() - start) / 1000,
    };
  } finally {
    all.forEach((machine) => machine.close());
    world.close();
    mock.timers.reset();
  }
}

async function joinAll(all: readonly Machine[], world: World): Promise<void> {
  const [first, ...others] = all;
  await first!.done('shared.choose', { folder: first!.folder });
  await first!.done('shared.own', { kind: 'begin', machine: 'First' });
  await first!.done('shared.parted', { apart: true });
  await first!.call('shared.sync', {});
  const { own } = await first!.call('shared.read', {});
  for (const machine of others) {
    carry(first!.folder, machine.folder, SURE, world.random);
    await machine.done('shared.choose', { folder: machine.folder });
    const { code } = own!;
    await machine.done('shared.own', { kind: 'join', machine: machine.name, code });
  }
}

/** Which machine is used today, who is online, and what is restored. */
async function liveDay(
  all: readonly Machine[],
  day: number,
  days: number,
  world: World,
  done: Done,
): Promise<void> {
  const { random } = world;
  const backup = path.join(world.root, 'backup');
  for (const [i, machine] of all.entries()) {
    // Each is away for a fifth of the time, in turns, and used on two days of three.
    const away = Math.floor((day / days) * all.length * 2) % all.length === i;
    if (random() < 0.66) await practise(machine, done, random);
    if (random() < 0.5) await teach(machine, done, random);
    if (random() < 0.2) machine.restart();
    if (!away) {
      const how = { share: 0.7, partial: 0.1, twice: 0.05, takesAway: true } as const;
      carry(machine.folder, world.hub, how, random);
      carry(world.hub, machine.folder, how, random);
    }
    if (random() < 0.8) await machine.call('shared.sync', {});
    for (const [n, one] of [1, 3].entries()) {
      const at = Math.floor(days * (n === 0 ? 0.3 : 0.6));
      if (i === one % all.length && day === at) machine.backUp(`${backup}-${n}`);
      if (i === one % all.length && day === at + Math.ceil(days / 6)) {
        machine.restore(`${backup}-${n}`);
        // As the program does soon after its start.
        await machine.call('shared.sync', {});
      }
    }
  }
}

/** As a syncing service does that works. */
const WHOLE = { ...SURE, takesAway: true } as const;
/** When, of all days. */
const DESTROYED_AT = [0.55, 0.9];
/** When a student is removed for good. */
const REMOVED_AT = [0.4, 0.5, 0.8];
/** Rounds without anything new after which everything lost has been looked for. */
const CALM = 2;

/** All are online until nothing new is written. Returns how many rounds it took. */
async function agree(all: readonly Machine[], world: World): Promise<number> {
  let before = '';
  let calm = 0;
  for (let round = 1; round <= 16; round++) {
    for (const machine of all) {
      await machine.call('shared.sync', {});
      carry(machine.folder, world.hub, WHOLE, world.random);
    }
    for (const machine of all) {
      carry(world.hub, machine.folder, WHOLE, world.random);
      await machine.call('shared.sync', {});
    }
    const files = await filesOf(all);
    calm = files === before ? calm + 1 : 0;
    if (calm === CALM) return round - CALM + 1;
    before = files;
  }
  return Infinity;
}

const filesOf = async (all: readonly Machine[]): Promise<string> => {
  const states = await Promise.all(all.map((machine) => machine.call('shared.read', {})));
  return JSON.stringify(states.map(({ writers }) => writers.map(({ segments }) => segments)));
};

/** Where two texts part, with some of what stands there. */
function apart(one: string, other: string): string {
  const at = [...one].findIndex((letter, i) => letter !== other[i]);
  const around = (text: string): string => text.slice(Math.max(0, at - 80), at + 80);
  return `${around(one)} | ${around(other)}`;
}

/** A copy that a syncing program made lies where its writer never sees it: real ones carry it to the writer, too. */
function tracesOf(ids: ReadonlySet<string>, folders: readonly string[]): readonly string[] {
  const named = new RegExp([...ids].map((id) => `${id}(?!\\d)`).join('|') || '^\\b$');
  return folders.flatMap((folder) =>
    fs
      .readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && !entry.name.includes('(copy)'))
      .map(({ parentPath, name }) => path.join(parentPath, name))
      .filter((file) => named.test(fs.readFileSync(file, 'latin1'))),
  );
}

async function outcomeOf(
  all: readonly Machine[],
  done: Done,
): Promise<Omit<Outcome, 'rounds' | 'seconds' | 'destroyed' | 'traces'>> {
  const states = await Promise.all(all.map(stateOf));
  const [first] = states;
  const differences = states.flatMap((state, i) =>
    Object.keys(first!)
      .filter((part) => state[part] !== first![part])
      .map((part) => `${all[i]!.name}: ${part} ${apart(first![part]!, state[part]!)}`),
  );
  const one = all[0]!;
  const { passes } = await one.call('log.passes', {});
  const ids = passes.map(({ id }) => id);
  const known = new Set(ids);
  const { charts } = await one.call('charts.list', {});
  const { students } = await one.call('students.list', {});
  const own = students.find(({ id }) => id === 'self');
  const logs = await Promise.all(
    [...new Set(done.reported.values())].map((desk) => one.call('log.passes', { desk })),
  );
  const reported = new Set(logs.flatMap((log) => log.passes.map(({ id }) => id)));
  const said = new Set([...(own?.assignments ?? []), ...(own?.comments ?? [])].map(({ id }) => id));
  const { writers } = await one.call('shared.read', {});
  return {
    differences,
    passes: ids.length,
    lost: [
      ...[...done.passes].filter((id) => !known.has(id)),
      ...[...done.reported]
        .filter(([id, desk]) => !reported.has(id) && !done.forGood.has(desk))
        .map(([id]) => id),
    ],
    students: students.length - 1,
    reported: reported.size,
    forGood: done.forGood.size,
    doubled: ids.filter((id, i) => ids.indexOf(id) !== i),
    missing: [
      ...[...done.tasks, ...done.comments].filter((id) => !said.has(id)),
      ...[...done.removed, ...done.forGood].filter((id) =>
        students.some((student) => student.id === id),
      ),
    ],
    charts: charts.length,
    aside: charts.filter(({ id }) => id.includes('-other-')).length,
    files: writers.reduce((sum, { segments }) => sum + segments, 0),
    waited: writers.reduce((sum, { missing }) => sum + missing.length, 0),
  };
}
