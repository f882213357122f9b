// One interleaving: what a few machines do, and what happens to the files between them, in any order; then all meet.
import path from 'node:path';
import type { Json } from '../../../app/core/exchange/shared/facts.ts';
import { replacedOn, writersOf } from '../../../app/core/exchange/shared/shelf.ts';
import { isoTimeOf } from '../../../app/core/base/iso-time.ts';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { OWN_DESK } from '../../../app/core/progress/assignment.ts';
import { goneMark } from '../../../app/services/machine/store/gone-mark.ts';
import { namesIn } from '../../../app/services/machine/travel/own/fact-names.ts';
import { passEntry } from '../../unit/services/samples.ts';
import { CALM, EngineMachine } from './engine.ts';
import { BY_FILE, Hub, HUB, readOnce } from './hub.ts';
import { MemoryDisk } from './memory-files.ts';
import { holdsAny, idOf, reportOf, STUDENTS, studentOf } from './pupils.ts';
import { Versions } from './versions.ts';

/** `m` is a machine, `n` any number that the step makes something of. */
export interface Step {
  readonly does: (typeof STEPS)[number];
  readonly m: number;
  readonly n: number;
}

export const STEPS = [
  'play',
  'word',
  'set',
  'unset',
  'edit',
  'sync',
  'play while it syncs',
  'set while it syncs',
  'edit while it syncs',
  'sync while it syncs',
  'fetch while it syncs',
  'go away while it syncs',
  'tell',
  'die in a sync',
  'restart',
  'back up',
  'restore',
  'restore the log',
  'restore the folder',
  'restore the hub',
  'mend the log',
  'copy the machine',
  'move',
  'turn the clock',
  'go away',
  'send all',
  'fetch all',
  'clear',
  'destroy',
  'join',
  'teach',
  'report',
  'take off',
  'remove for good',
  'remove while it syncs',
  'die while removing',
  ...BY_FILE,
] as const;

/** In orders of these alone nothing is told twice, and nothing stands that was set over. */
const GENTLE: ReadonlySet<Step['does']> = new Set([
  ...([
    'play',
    'word',
    'set',
    'unset',
    'edit',
    'sync',
    'tell',
    'restart',
    'turn the clock',
  ] as const),
  ...(['play while it syncs', 'set while it syncs', 'edit while it syncs'] as const),
  ...(['sync while it syncs', 'send all', 'fetch all', 'join', 'teach', 'report'] as const),
]);
export const isGentle = ({ does }: Step): boolean => GENTLE.has(does);

const GONE = 'gone:';
/** In the order of what a machine keeps. */
const KEPT = ['the log', 'what travelled', 'the list'] as const;
const inOrder = <T extends { readonly id: string }>(all: readonly T[]): string =>
  JSON.stringify(all.toSorted((a, b) => (a.id < b.id ? -1 : 1)));
const ROUNDS = 16;

export class Interleaving {
  readonly #disk = new MemoryDisk();
  readonly #all: readonly EngineMachine[];
  readonly #hub: Hub;
  /** Every pass that stood in a log or a file when all began to meet. */
  readonly #played = new Set<string>();
  /** Passes of students, with whose they are; and marks of who was removed for good. */
  readonly #reported = new Map<string, string>();
  readonly #marks = new Set<string>();
  readonly #versions = new Versions();
  #gentle = true;
  #made = 0;

  constructor(machines: number) {
    this.#all = Array.from({ length: machines }, (_, i) => new EngineMachine(this.#disk, `m${i}`));
    this.#hub = new Hub(this.#disk, this.#all);
    this.#all[0]!.join();
  }

  close(): void {
    this.#all.forEach((one) => one.close());
  }

  async take({ does, m, n }: Step): Promise<void> {
    const machine = this.#all[m % this.#all.length]!;
    this.#gentle &&= GENTLE.has(does);
    switch (does) {
      case 'play':
        return this.#play(machine, n);
      case 'word':
        return this.#word(machine, n);
      case 'set':
        return this.#set(machine, n);
      case 'unset':
        return this.#choose(
          machine,
          n % 2 === 0 ? `setting:${n % 7}` : `chart:${(n % 4) >> 1}`,
          null,
        );
      case 'edit':
        return this.#edit(machine, n);
      case 'sync':
        return machine.sync();
      case 'play while it syncs':
        return machine.sync(() => this.#play(machine, n), n % 4);
      case 'set while it syncs':
        return machine.sync(() => this.#set(machine, n), n % 4);
      case 'edit while it syncs':
        return machine.sync(() => this.#edit(machine, n), n % 4);
      case 'sync while it syncs':
        return machine.sync(() => machine.syncAnew(), n % 4);
      case 'fetch while it syncs':
        return machine.sync(() => this.#hub.carryAll(HUB, machine.folder), n % 4);
      case 'go away while it syncs':
        return machine.sync(() => (machine.away = true), n % 4);
      case 'tell':
        return machine.tell();
      case 'die in a sync':
        return machine.dieInSync(n % 16);
      case 'restart':
        return machine.restart();
      case 'back up':
        this.#hub.backUp();
        return machine.backUp();
      case 'restore the log':
        return machine.restoreLog();
      case 'restore the folder':
        return machine.restoreFolder();
      case 'restore the hub':
        return this.#hub.restore();
      case 'copy the machine':
        this.#hub.sharesNames = true;
        return machine.copy(this.#all[(m + 1) % this.#all.length]!);
      case 'move':
        return machine.move();
      case 'restore':
        return machine.restore();
      case 'mend the log':
        return machine.mendLog();
      case 'turn the clock':
        return machine.turnClock((n % 2 === 0 ? 1 : -1) * 400 * (n % 50));
      case 'go away':
        machine.away = !machine.away;
        return;
      case 'join':
        return machine.away ? undefined : machine.join();
      case 'teach':
        return machine.saveStudent(studentOf(n, ++this.#made));
      case 'report':
        return this.#report(machine, n);
      case 'take off':
        return machine.takeOff(idOf(n));
      case 'remove for good':
        return machine.removeForGood(idOf(n));
      case 'remove while it syncs':
        return machine.sync(() => machine.removeForGood(idOf(n)), n % 5);
      case 'die while removing':
        return machine.dieRemoving(idOf(n), n % 4);
      case 'send all':
        return this.#hub.carryAll(machine.folder, HUB);
      case 'destroy':
        return this.#hub.destroy(n);
      case 'clear':
        return this.#hub.clear(machine);
      case 'fetch all':
        return this.#hub.carryAll(HUB, machine.folder);
      default:
        return this.#hub.carry(does, machine, n);
    }
  }

  #play(machine: EngineMachine, n: number): void {
    const entries = Array.from({ length: 1 + (n % 3) }, () => {
      const fingerprint = `bars-${n % 2}`;
      return passEntry(`${machine.name}-${++this.#made}`, {
        at: isoTimeOf(machine.now()),
        unit: { key: `section:${n % 2}`, name: 'Verse', fingerprint },
      });
    });
    machine.append(entries);
  }

  /** A report of a student comes in where they are on the list. */
  #report(machine: EngineMachine, n: number): void {
    const id = idOf(n);
    if (!machine.students.some((one) => one.id === id)) return;
    const made = `${machine.name}-${++this.#made}`;
    machine.append(reportOf(id, made, isoTimeOf(machine.now())), id);
  }

  #word(machine: EngineMachine, n: number): void {
    const { passes } = machine.store.read.passes({ desk: OWN_DESK });
    const pass = passes[n % passes.length];
    if (!pass) return;
    const verdict = pass.verdict === 'clean' ? 'missed' : 'clean';
    const at = isoTimeOf(machine.now());
    const amendment = { amends: pass.id, at, verdict, source: 'self' } as const;
    machine.append([{ kind: 'amendment', amendment }] satisfies LogEntry[]);
  }

  #set(machine: EngineMachine, n: number): void {
    this.#choose(machine, `setting:${n % 7}`, ++this.#made);
  }

  #edit(machine: EngineMachine, n: number): void {
    this.#choose(machine, `chart:${n % 2}`, `title: Song ${n % 2}\n${++this.#made}`);
  }

  #choose(machine: EngineMachine, key: string, value: Json): void {
    this.#versions.set(value, machine.values.get(key));
    machine.set(key, value);
  }

  /** All are there, and everything arrives, until nothing more is written. Returns what is wrong then. */
  async meet(): Promise<readonly string[]> {
    for (const machine of this.#all) machine.away = false;
    this.#rememberPlayed();
    for (const machine of this.#all) machine.join();
    let before = '';
    let calm = 0;
    for (let round = 1; ; round++) {
      for (const machine of this.#all) {
        this.#hub.carryAll(HUB, machine.folder);
        const came = new Set(this.#hub.namesBelow(machine.folder));
        await machine.sync();
        this.#hub.carryAll(machine.folder, HUB);
        this.#hub.clear(machine, came);
      }
      const now = JSON.stringify(this.#hub.filesIn(HUB).map((at) => [at, this.#disk.text(at)]));
      calm = now === before ? calm + 1 : 0;
      if (calm === CALM) break;
      if (round === ROUNDS) return [`they still write after ${ROUNDS} rounds`];
      before = now;
    }
    return [...this.#all.flatMap(({ faults }) => faults), ...this.#differences()];
  }

  #rememberPlayed(): void {
    for (const { store, gone, values } of this.#all) {
      for (const mark of gone) this.#marks.add(mark);
      for (const [key, value] of values) this.#versions.find(key, value);
      for (const desk of store.desks(() => true))
        for (const { id } of store.read.passes({ desk }).passes) this.#remember(id, desk);
    }
    for (const folder of [HUB, ...this.#all.map((one) => one.folder)])
      for (const file of this.#hub.filesIn(folder)) {
        const read = readOnce(this.#disk.text(file)!);
        if (read.kind !== 'whole') continue;
        const { facts = [], desk = OWN_DESK } = read.segment.batch ?? {};
        for (const fact of facts)
          if (fact.kind === 'pass') this.#remember(fact.pass.id, desk);
          else if (fact.kind === 'value') {
            this.#versions.find(fact.key, fact.value);
            if (fact.key.startsWith(GONE)) this.#marks.add(fact.key.slice(GONE.length));
          }
      }
  }

  #remember(pass: string, desk: string): void {
    if (desk === OWN_DESK) this.#played.add(pass);
    else this.#reported.set(pass, desk);
  }

  #differences(): readonly string[] {
    const wrong: string[] = [];
    const states = this.#all.map((machine) => {
      const { passes } = machine.store.read.passes({ desk: OWN_DESK });
      const ids = passes.map(({ id }) => id);
      if (new Set(ids).size < ids.length) wrong.push(`${machine.name} has a pass twice`);
      for (const id of this.#played)
        if (!ids.includes(id)) wrong.push(`${machine.name} lost pass ${id}`);
      const { name, values } = machine;
      for (const n of this.#versions.missingIn(values)) wrong.push(`${name} lost text ${n}`);
      const passed = this.#gentle ? this.#versions.passedIn(values) : [];
      for (const n of passed) wrong.push(`${name} has ${n}, which was set over`);
      wrong.push(...this.#wrongOfStudents(machine));
      return {
        passes: inOrder(passes),
        values: JSON.stringify([...machine.values].sort(([a], [b]) => (a < b ? -1 : 1))),
        students: inOrder(machine.students),
        reported: STUDENTS.map((desk) =>
          inOrder(machine.store.read.passes({ desk }).passes),
        ).join(),
      };
    });
    for (const part of ['passes', 'values', 'students', 'reported'] as const)
      if (new Set(states.map((state) => state[part])).size > 1)
        wrong.push(
          `${part} differ: ${states.map((state) => state[part].slice(0, 200)).join(' | ')}`,
        );
    for (const { name, shared } of this.#all)
      for (const { writer, missing } of writersOf(shared.look().shelf))
        for (const number of missing)
          // What nobody knows any more is rightly waited for.
          if (this.#all.some((one) => one.knows(writer, number)))
            wrong.push(`${name} waits for ${number} of ${writer}`);
    return [...wrong, ...this.#numbersTwice(), ...this.#toldTwice(), ...this.#traces()];
  }

  /** Where nothing was lost or brought back, each pass and each value stands in one file. */
  #toldTwice(): readonly string[] {
    if (!this.#gentle) return [];
    const { shelf } = this.#all[0]!.shared.look();
    const isReplaced = replacedOn(shelf);
    const seen = new Set<string>();
    return [...shelf].flatMap(([id, { writer, number }]) => {
      const batch = isReplaced(writer, number) ? undefined : this.#all[0]!.shared.batch(id);
      return (batch ? namesIn(batch, writer) : []).flatMap((name) => {
        if (!seen.has(name)) return (seen.add(name), []);
        return [`${name} was told twice`];
      });
    });
  }

  #wrongOfStudents({ name, store, gone }: EngineMachine): readonly string[] {
    const marks = [...this.#marks].filter((mark) => !gone.has(mark));
    const lost = [...this.#reported].filter(
      ([id, desk]) =>
        !gone.has(goneMark(desk)) &&
        !store.read.passes({ desk }).passes.some((pass) => pass.id === id),
    );
    return [
      ...marks.map((mark) => `${name} does not know that ${mark} is gone`),
      ...lost.map(([id]) => `${name} lost pass ${id}`),
    ];
  }

  /** Files, and databases of machines, in which something of somebody stands who was removed for good. */
  #traces(): readonly string[] {
    const holds = (text: string): boolean => holdsAny(text, this.#marks);
    const kept = this.#all.flatMap(({ name, bytes }) =>
      bytes.flatMap((text, i) => (holds(text) ? [`${name} keeps who is gone, in ${KEPT[i]}`] : [])),
    );
    // Where a machine goes on with the data of another, nobody is left to empty what it wrote before.
    const isOrphan = (file: string): boolean =>
      this.#hub.sharesNames &&
      !this.#all.some((one) => one.isOwn(path.basename(path.dirname(file))));
    const files = this.#disk
      .filesBelow('/')
      .filter((file) => holds(this.#disk.text(file)!) && !isOrphan(file))
      .map((file) => `who is gone stands in ${file}`);
    return [...kept, ...files];
  }

  /** Two that took themselves for one may have written it. */
  #numbersTwice(): readonly string[] {
    if (this.#hub.sharesNames) return [];
    const hashes = new Map<string, string>();
    return this.#hub.filesIn(HUB).flatMap((file) => {
      const read = readOnce(this.#disk.text(file)!);
      if (read.kind !== 'whole') return [];
      // It was emptied, and a copy of it may not have been yet.
      if (!read.segment.batch) return [];
      const name = `${read.segment.writer} ${read.segment.number}`;
      const before = hashes.get(name) ?? read.hash;
      hashes.set(name, read.hash);
      return before === read.hash ? [] : [`${name} was written twice`];
    });
  }

  /** A last choice, which everybody knows of, stands everywhere. */
  async lastChoice(): Promise<readonly string[]> {
    const machine = this.#all.at(-1)!;
    this.#choose(machine, 'setting:0', 'last');
    this.#choose(machine, 'chart:0', 'title: Song 0\nlast');
    const wrong = await this.meet();
    const stands = this.#all.every(
      ({ values }) =>
        values.get('setting:0') === 'last' && values.get('chart:0') === 'title: Song 0\nlast',
    );
    return stands ? wrong : [...wrong, 'the last choice does not stand'];
  }
}

export async function faultsOf(
  machines: number,
  steps: readonly Step[],
): Promise<readonly string[]> {
  const all = new Interleaving(machines);
  try {
    for (const step of steps) await all.take(step);
    const wrong = await all.meet();
    return wrong.length > 0 ? wrong : await all.lastChoice();
  } finally {
    all.close();
  }
}
