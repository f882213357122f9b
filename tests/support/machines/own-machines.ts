// Machines of one player for tests and figures: real services on real folders, whose shared folders are carried to and
// fro by a hub that is late, forgets, brings things twice, in part and in any order.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { planToday } from '../../../app/core/progress/today.ts';
import { OWN_DESK, type Student } from '../../../app/core/progress/assignment.ts';
import { unwrap, type Result } from '../../../app/core/base/result.ts';
import type {
  CallInput,
  CallName,
  CallOutput,
  Envelope,
} from '../../../app/services/contract/contract.ts';
import type { Patience } from '../../../app/services/machine/shared/patience.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import type { AskLog } from '../../../renderer/state/log/practice-log.svelte.ts';
import { candidatesOf } from '../../../renderer/state/today/candidates.ts';
import { dice } from '../../bench/honest/players.ts';
import { openTestServices } from '../../unit/services/samples.ts';

export interface World {
  readonly root: string;
  readonly hub: string;
  /** 0–1, 1 left out; the same numbers for the same seed. */
  readonly random: () => number;
  readonly close: () => void;
}

export function openWorld(seed: number): World {
  const root = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-machines-'));
  const hub = path.join(root, 'hub');
  fs.mkdirSync(hub);
  return {
    ...{ root, hub, random: dice(seed) },
    close: () => fs.rmSync(root, { recursive: true, force: true }),
  };
}

/** Ids that tell who made them: "m1-1", "m1-2" … */
export function idsOf(name: string): () => string {
  let made = 0;
  return () => `${name}-${++made}`;
}

/** One machine: its data folder, its copy of the shared folder, its clock. */
export class Machine {
  readonly name: string;
  readonly data: string;
  readonly folder: string;
  readonly #clock: () => Date;
  readonly #patience: Patience | undefined;
  /** They go on where a backup is brought back: no id is made twice. */
  readonly newId: () => string;
  #services: ServiceHost;

  constructor(world: World, name: string, clock: () => Date, patience?: Patience) {
    this.name = name;
    this.data = path.join(world.root, name, 'data');
    this.folder = path.join(world.root, name, 'shared');
    this.#clock = clock;
    this.#patience = patience;
    this.newId = idsOf(name);
    fs.mkdirSync(this.folder, { recursive: true });
    this.#services = this.#open();
  }

  #open = (): ServiceHost =>
    openTestServices(this.data, { now: this.#clock, newId: this.newId, patience: this.#patience });

  now = (): Date => this.#clock();

  /** @throws Error with what was refused. */
  call = async <N extends CallName>(name: N, input: CallInput<N>): Promise<CallOutput<N>> => {
    const answer = await this.#services.handle(name, input);
    return unwrap(answer as Envelope<CallOutput<N>> as Result<CallOutput<N>>);
  };
  /** As {@link call}, for calls that answer with a result of their own. */
  done = async <N extends CallName>(
    name: N,
    input: CallInput<N>,
  ): Promise<CallOutput<N> extends Result<infer T> ? T : never> =>
    unwrap((await this.call(name, input)) as Result<never>);

  close = (): void => void this.#services.close();

  restart(): void {
    this.close();
    this.#services = this.#open();
  }

  /** A copy of the data folder as it stands, as a program for backups makes it. */
  backUp(to: string): void {
    this.close();
    fs.rmSync(to, { recursive: true, force: true });
    fs.cpSync(this.data, to, { recursive: true });
    this.#services = this.#open();
  }
  restore(from: string): void {
    this.close();
    fs.rmSync(this.data, { recursive: true });
    fs.cpSync(from, this.data, { recursive: true });
    this.#services = this.#open();
  }
}

/** Every file of segments below a folder, in order. */
export const filesIn = (folder: string): readonly string[] =>
  fs
    .readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.rungshare'))
    .sort();

/** A share of the files goes from all these folders at once, with their copies, though nobody took them away. */
export function destroy(
  folders: readonly string[],
  share: number,
  random: () => number,
): readonly string[] {
  const named = (name: string): string => name.replaceAll(' (copy)', '');
  const names = [...new Set(folders.flatMap(filesIn).map(named))].sort();
  const gone = new Set(names.filter(() => random() < share));
  for (const folder of folders)
    for (const name of filesIn(folder))
      if (gone.has(named(name))) fs.rmSync(path.join(folder, name));
  return [...gone];
}

/** How files are carried: which share of them each time, and how they are spoilt on the way. */
export interface Carrying {
  readonly share: number;
  /** Share of files that arrive in part at first. */
  readonly partial: number;
  /** Share of files of which a conflict copy is made as well. */
  readonly twice: number;
  /** What its writer took away goes away, too: between a machine and the hub. */
  readonly takesAway?: true;
}

export const SURE: Carrying = { share: 1, partial: 0, twice: 0 };

/** Carries files from one folder into another, in any order. What arrived in part before is made whole now and then. */
export function carry(from: string, to: string, how: Carrying, random: () => number): void {
  if (how.takesAway) takeAway(from, to, how.share, random);
  const names = filesIn(from)
    .filter((name) => !name.includes('(copy)'))
    .map((name) => [random(), name] as const)
    .sort(([a], [b]) => a - b);
  for (const [, name] of names) {
    if (random() >= how.share) continue;
    // What others wrote came from the hub: where it is gone from there it does not go back.
    if (how.takesAway && path.basename(to) === 'hub' && !isOwn(from, name)) continue;
    const target = path.join(to, name);
    const bytes = fs.readFileSync(path.join(from, name));
    const there = fs.statSync(target, { throwIfNoEntry: false });
    if (there !== undefined && !isNewer(bytes, fs.readFileSync(target), { from, to, name }))
      continue;
    fs.mkdirSync(path.dirname(target), { recursive: true });
    const part = random() < how.partial ? Math.floor(bytes.length * random()) : bytes.length;
    fs.writeFileSync(target, bytes.subarray(0, part));
    if (random() < how.twice) fs.writeFileSync(target.replace('.rung', ' (copy).rung'), bytes);
  }
}

/** What its writer took away goes from the hub, and from there everywhere. */
function takeAway(from: string, to: string, share: number, random: () => number): void {
  const there = new Set(filesIn(from));
  const isHub = path.basename(from) === 'hub';
  for (const name of filesIn(to)) {
    const taken = !there.has(name) && (isHub ? !isOwn(to, name) : isOwn(from, name));
    if (taken && random() < share) fs.rmSync(path.join(to, name));
  }
}

interface OnTheWay {
  readonly from: string;
  readonly to: string;
  readonly name: string;
}

/**
 * What came in part is made whole, wherever it lies. Else only its writer changes a file: it empties it. That travels
 * from its own folder to the hub and on, and never back.
 */
function isNewer(bytes: Buffer, there: Buffer, { from, to, name }: OnTheWay): boolean {
  if (bytes.equals(there)) return false;
  if (bytes.subarray(0, there.length).equals(there)) return true;
  if (isOwn(to, name)) return false;
  const wasPart = there.subarray(0, bytes.length).equals(bytes);
  const comesFromWriter = isOwn(from, name) || path.basename(from) === 'hub';
  return comesFromWriter && !wasPart;
}

/** Is it a file that the machine of this folder wrote? */
const isOwn = (folder: string, name: string): boolean =>
  path.basename(path.dirname(name)).startsWith(`${path.basename(path.dirname(folder))}-`);

/** Everything that is to be the same on all machines, as text. */
export async function stateOf(machine: Machine): Promise<Readonly<Record<string, string>>> {
  const { passes } = await machine.call('log.passes', {});
  const { charts } = await machine.call('charts.list', {});
  const { settings } = await machine.call('settings.read', {});
  const ladders = await machine.call('ladders.list', {});
  const { students } = await machine.call('students.list', {});
  const days = await machine.call('log.days', {});
  const texts = await Promise.all(
    charts.map(async ({ id }) => [id, await machine.done('charts.text', { id })] as const),
  );
  const own = students.find(({ id }) => id === OWN_DESK);
  const { leftHanded, breakReminderMinutes, bandAlong, keys, levels, queue } = settings;
  return {
    passes: stable(passes),
    days: stable(days),
    charts: stable(texts.toSorted(([a], [b]) => (a < b ? -1 : 1))),
    settings: stable({ leftHanded, breakReminderMinutes, bandAlong, keys, levels, queue }),
    ladders: stable(ladders.map((one) => stable(one)).toSorted()),
    desk: stable(own ?? null),
    plan: own ? await planOn(machine, own) : '',
    ...(await teachersStateOf(machine, students)),
  };
}

const byId = <T extends { readonly id: string }>(all: readonly T[]): readonly T[] =>
  all.toSorted((a, b) => (a.id < b.id ? -1 : 1));

/** A day after the last practice of any clock, so that machines whose clocks differ are asked the same. */
const PLANNED_FOR = '9999-12-31';
const MINUTES = 30;

/** What the first screen says that should be practised. */
async function planOn(machine: Machine, own: Student): Promise<string> {
  const { charts } = await machine.call('charts.list', {});
  const opened = await Promise.all(
    byId(charts).map(async ({ id }) => machine.done('charts.open', { id })),
  );
  const units = await machine.call('log.units', {});
  const ask: AskLog = (name, input) => machine.call(name, input);
  const asked = { charts: opened, units, ask, asOf: PLANNED_FOR };
  const { found } = await candidatesOf(own, asked);
  return stable(planToday(found, MINUTES));
}

/** Students, what was set and written for them, their logs, and what was taken in. */
async function teachersStateOf(
  machine: Machine,
  all: readonly Student[],
): Promise<Readonly<Record<string, string>>> {
  const students = byId(all.filter(({ id }) => id !== OWN_DESK));
  const logs = await Promise.all(
    students.map(async ({ id }) => (await machine.call('log.passes', { desk: id })).passes),
  );
  const { waiting } = await machine.call('shared.read', {});
  return {
    students: stable(students),
    studentsPasses: stable(logs),
    waiting: stable(byId(waiting)),
  };
}

/** Equal values as equal text, and sums without their last bits: they were added in another order. */
const stable = (value: unknown): string =>
  JSON.stringify(value, (_, part: unknown) => {
    if (typeof part === 'number') return Number(part.toPrecision(9));
    if (typeof part !== 'object' || part === null || Array.isArray(part)) return part;
    return Object.fromEntries(Object.entries(part).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
