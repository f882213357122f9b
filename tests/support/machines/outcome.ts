// What must be true of the machines of an interleaving when all have met: all are alike, nothing is lost, and of who was
// removed nothing is left.
import path from 'node:path';
import { replacedOn, writersOf } from '../../../app/core/exchange/shared/shelf.ts';
import { OWN_DESK } from '../../../app/core/progress/assignment.ts';
import { goneMark } from '../../../app/services/machine/store/gone-mark.ts';
import { namesIn } from '../../../app/services/machine/travel/own/fact-names.ts';
import type { EngineMachine } from './engine.ts';
import { type Hub, HUB, readOnce } from './hub.ts';
import type { MemoryDisk } from './memory-files.ts';
import { holdsAny, STUDENTS } from './pupils.ts';
import type { Versions } from './versions.ts';

const GONE = 'gone:';
/** In the order of what a machine keeps. */
const KEPT = ['the log', 'what travelled', 'the list'] as const;
const inOrder = <T extends { readonly id: string }>(all: readonly T[]): string =>
  JSON.stringify(all.toSorted((a, b) => (a.id < b.id ? -1 : 1)));

interface OutcomeAround {
  readonly all: readonly EngineMachine[];
  readonly hub: Hub;
  readonly disk: MemoryDisk;
  readonly versions: Versions;
}

export class Outcome {
  readonly #disk: MemoryDisk;
  readonly #all: readonly EngineMachine[];
  readonly #hub: Hub;
  readonly #versions: Versions;
  /** Every pass that stood in a log or a file when all began to meet. */
  readonly #played = new Set<string>();
  /** Passes of students, with whose they are; and marks of who was removed for good. */
  readonly #reported = new Map<string, string>();
  readonly #marks = new Set<string>();

  constructor({ all, hub, disk, versions }: OutcomeAround) {
    this.#all = all;
    this.#hub = hub;
    this.#disk = disk;
    this.#versions = versions;
  }

  /** Notes what stands on machines and in files when all begin to meet. */
  remember(): void {
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

  /** @param isGentle nothing was lost or brought back before */
  faults(isGentle: boolean): readonly string[] {
    const wrong: string[] = [];
    const states = this.#all.map((machine) => {
      const { passes } = machine.store.read.passes({ desk: OWN_DESK });
      const ids = passes.map(({ id }) => id);
      if (new Set(ids).size < ids.length) wrong.push(`${machine.name} has a pass twice`);
      for (const id of this.#played)
        if (!ids.includes(id)) wrong.push(`${machine.name} lost pass ${id}`);
      const { name, values } = machine;
      for (const n of this.#versions.missingIn(values)) wrong.push(`${name} lost text ${n}`);
      const passed = isGentle ? this.#versions.passedIn(values) : [];
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
    return [
      ...wrong,
      ...this.#numbersTwice(),
      ...(isGentle ? this.#toldTwice() : []),
      ...this.#traces(),
    ];
  }

  /** Where nothing was lost or brought back, each pass and each value stands in one file. */
  #toldTwice(): readonly string[] {
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
}
