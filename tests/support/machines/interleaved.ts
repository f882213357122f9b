// One interleaving: what a few machines do, and what happens to the files between them, in any order; then all meet.
import path from 'node:path';
import type { Json } from '../../../app/core/exchange/shared/facts.ts';
import { readSegment, type SegmentReading } from '../../../app/core/exchange/shared/segment.ts';
import { writersOf } from '../../../app/core/exchange/shared/shelf.ts';
import { isoTimeOf } from '../../../app/core/base/iso-time.ts';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { OWN_DESK } from '../../../app/core/progress/assignment.ts';
import { goneMark } from '../../../app/services/machine/store/gone-mark.ts';
import { passEntry } from '../../unit/services/samples.ts';
import { CALM, EngineMachine } from './engine.ts';
import { MemoryDisk } from './memory-files.ts';
import { holdsAny, idOf, reportOf, STUDENTS, studentOf } from './pupils.ts';

/** `m` is a machine, `n` any number that the step makes something of. */
export interface Step {
  readonly does: (typeof STEPS)[number];
  readonly m: number;
  readonly n: number;
}

/** What happens to a single file. */
const BY_FILE = ['send', 'send torn', 'fetch', 'fetch torn', 'copy', 'bring back', 'lose'] as const;

export const STEPS = [
  'play',
  'word',
  'set',
  'unset',
  'edit',
  'sync',
  'play while it syncs',
  'set while it syncs',
  'tell',
  'die in a sync',
  'restart',
  'back up',
  'restore',
  'mend the log',
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

/** What stands in a file; files go round often, and are read here once. */
const filesRead = new Map<string, SegmentReading>();

function readOnce(text: string): SegmentReading {
  const read = filesRead.get(text) ?? readSegment(text);
  if (filesRead.size > 2_000) filesRead.clear();
  filesRead.set(text, read);
  return read;
}

const HUB = '/hub';
const GONE = 'gone:';
/** In the order of what a machine keeps. */
const KEPT = ['the log', 'what travelled', 'the list'] as const;
const inOrder = <T extends { readonly id: string }>(all: readonly T[]): string =>
  JSON.stringify(all.toSorted((a, b) => (a.id < b.id ? -1 : 1)));
const ROUNDS = 16;

export class Interleaving {
  readonly #disk = new MemoryDisk();
  readonly #all: readonly EngineMachine[];
  /** Every pass that stood in a log or a file when all began to meet. */
  readonly #played = new Set<string>();
  /** Passes of students, with whose they are; and marks of who was removed for good. */
  readonly #reported = new Map<string, string>();
  readonly #marks = new Set<string>();
  readonly #set = new Map<string, Set<string>>();
  #made = 0;

  constructor(machines: number) {
    this.#all = Array.from({ length: machines }, (_, i) => new EngineMachine(this.#disk, `m${i}`));
    this.#all[0]!.join();
  }

  close(): void {
    this.#all.forEach((one) => one.close());
  }

  async take({ does, m, n }: Step): Promise<void> {
    const machine = this.#all[m % this.#all.length]!;
    switch (does) {
      case 'play':
        return this.#play(machine, n);
      case 'word':
        return this.#word(machine, n);
      case 'set':
        return this.#choose(machine, `setting:${n % 7}`, n);
      case 'unset':
        return machine.set(n % 2 === 0 ? `setting:${n % 7}` : `chart:${n % 2}`, null);
      case 'edit':
        return this.#choose(machine, `chart:${n % 2}`, `title: Song ${n % 2}\n${++this.#made}`);
      case 'sync':
        return machine.sync();
      case 'play while it syncs':
        return machine.sync(() => this.#play(machine, n), n % 3);
      case 'set while it syncs':
        return machine.sync(() => this.#choose(machine, `setting:${n % 7}`, n), n % 3);
      case 'tell':
        return machine.tell();
      case 'die in a sync':
        return machine.dieInSync(n % 16);
      case 'restart':
        return machine.restart();
      case 'back up':
        return machine.backUp();
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
        return this.#carryAll(machine.folder, HUB);
      case 'destroy':
        return this.#destroy(n);
      case 'clear':
        return this.#clear(machine);
      case 'fetch all':
        return this.#carryAll(HUB, machine.folder);
      default:
        return this.#carry(does, machine, n);
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

  #choose(machine: EngineMachine, key: string, value: Json): void {
    const kind = key.split(':')[0]!;
    this.#set.set(kind, (this.#set.get(kind) ?? new Set()).add(JSON.stringify(value)));
    machine.set(key, value);
  }

  /** One file at a time, any of those that are there. */
  #carry(does: (typeof BY_FILE)[number], { folder }: EngineMachine, n: number): void {
    const from = does.startsWith('send') ? folder : HUB;
    const files = this.#disk.filesBelow(from);
    const file = files[n % files.length];
    if (file === undefined) return;
    const text = this.#disk.text(file)!;
    if (does === 'lose') return this.#disk.remove(file);
    const to = path.join(from === HUB ? folder : HUB, path.relative(from, file));
    const beside = to.replace('.rungshare', ` (conflict ${n % 3}).rungshare`);
    if (does === 'copy') return this.#disk.put(beside, text);
    const part = does.endsWith('torn') ? text.slice(0, (n * 37) % text.length) : text;
    // What is whole there stays whole: a carrier that spoils the only copy spoils what nobody can bring back.
    const there = this.#disk.text(to);
    const isNewer = there !== undefined && part === text && this.#isNewer(from, to, text);
    const putsBack = does === 'bring back' && readOnce(text).kind === 'whole';
    if (there === undefined || (there !== text && text.startsWith(there))) this.#disk.put(to, part);
    else if (isNewer || putsBack) this.#disk.put(to, text);
  }

  /** Only its writer changes a file: it empties it. That goes from its own folder to the hub, and from there to the others. */
  #isNewer(from: string, to: string, text: string): boolean {
    const { segment } = { segment: undefined, ...readOnce(text) };
    if (!segment) return false;
    const own = this.#all.find(({ name }) => segment.writer.startsWith(`${name}-`))!;
    return from === own.folder || (from === HUB && !to.startsWith(`${own.folder}/`));
  }

  /** A file goes from every folder, with its copies, though nobody took it away. */
  #destroy(n: number): void {
    const places = [HUB, ...this.#all.map(({ folder }) => folder)];
    const named = (file: string): string =>
      file.slice(file.lastIndexOf('rungwise-shared')).replace(/ \(conflict \d\)/, '');
    const names = [...new Set(places.flatMap((at) => this.#disk.filesBelow(at)).map(named))].sort();
    const name = names[n % names.length];
    for (const place of places)
      for (const file of this.#disk.filesBelow(place))
        if (named(file) === name) this.#disk.remove(file);
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
        this.#carryAll(HUB, machine.folder);
        const came = new Set(this.#namesBelow(machine.folder));
        await machine.sync();
        this.#carryAll(machine.folder, HUB);
        this.#clear(machine, came);
      }
      const now = JSON.stringify(this.#disk.filesBelow(HUB).map((at) => [at, this.#disk.text(at)]));
      calm = now === before ? calm + 1 : 0;
      if (calm === CALM) break;
      if (round === ROUNDS) return [`they still write after ${ROUNDS} rounds`];
      before = now;
    }
    return [...this.#all.flatMap(({ faults }) => faults), ...this.#differences()];
  }

  #namesBelow(folder: string): readonly string[] {
    return this.#disk.filesBelow(folder).map((file) => path.relative(folder, file));
  }

  /** What a machine took away is taken away everywhere; a copy of it where it had come to the machine. */
  #clear({ name, folder }: EngineMachine, came: ReadonlySet<string> = new Set()): void {
    for (const other of [HUB, ...this.#all.map((one) => one.folder)])
      for (const file of this.#disk.filesBelow(other)) {
        const writer = path.basename(path.dirname(file));
        const own = path.join(folder, path.relative(other, file));
        const copy = file.includes('(conflict') && !came.has(path.relative(other, file));
        if (writer.startsWith(`${name}-`) && !copy && this.#disk.text(own) === undefined)
          this.#disk.remove(file);
      }
  }

  #carryAll(from: string, to: string): void {
    for (const file of this.#disk.filesBelow(from)) {
      const text = this.#disk.text(file)!;
      const target = path.join(to, path.relative(from, file));
      const there = this.#disk.text(target);
      // What is whole stays, but for what its writer made of it; what is torn is written over by what is whole.
      const isWhole = there !== undefined && readOnce(there).kind === 'whole';
      if (isWhole && (there === text || !this.#isNewer(from, target, text))) continue;
      if (readOnce(text).kind === 'whole' || there === undefined) this.#disk.put(target, text);
    }
  }

  #rememberPlayed(): void {
    for (const { store, gone } of this.#all) {
      for (const mark of gone) this.#marks.add(mark);
      for (const desk of store.desks(() => true))
        for (const { id } of store.read.passes({ desk }).passes) this.#remember(id, desk);
    }
    for (const folder of [HUB, ...this.#all.map((one) => one.folder)])
      for (const file of this.#disk.filesBelow(folder)) {
        const read = readOnce(this.#disk.text(file)!);
        if (read.kind !== 'whole') continue;
        const { facts = [], desk = OWN_DESK } = read.segment.batch ?? {};
        for (const fact of facts)
          if (fact.kind === 'pass') this.#remember(fact.pass.id, desk);
          else if (fact.kind === 'value' && fact.key.startsWith(GONE))
            this.#marks.add(fact.key.slice(GONE.length));
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
      for (const [key, value] of machine.values) {
        const known = this.#set.get(key.split(':')[0]!);
        const aside = key.includes('-other-');
        if (!aside && !known?.has(JSON.stringify(value))) wrong.push(`nobody set ${key}`);
      }
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
    return [...wrong, ...this.#numbersTwice(), ...this.#traces()];
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
    const files = this.#disk
      .filesBelow('/')
      .filter((file) => holds(this.#disk.text(file)!))
      .map((file) => `who is gone stands in ${file}`);
    return [...kept, ...files];
  }

  #numbersTwice(): readonly string[] {
    const hashes = new Map<string, string>();
    return this.#disk.filesBelow(HUB).flatMap((file) => {
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
