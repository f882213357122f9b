// People who were removed for good, in what the machines of a player tell each other: nothing of them is taken in or
// told again, and what this machine wrote of them goes out of its files, whose numbers stay.
import { setImmediate } from 'node:timers/promises';
import type { Batch, Fact } from '../../../../core/exchange/shared/facts.ts';
import { inFiles } from '../../../../core/exchange/shared/in-files.ts';
import { replacedOn } from '../../../../core/exchange/shared/shelf.ts';
import type { People } from '../../people/people.ts';
import type { SharedFolder } from '../../shared/shared-folder.ts';
import type { KeptHeads } from '../../shared/shelf-reader.ts';
import { GONE, markIn } from './gone-travel.ts';
import { type KeptWrites, studentsIn } from './kept-writes.ts';
import { isOf, type Traveller } from './traveller.ts';

interface PurgeAround {
  readonly shared: SharedFolder;
  readonly kept: KeptWrites;
  readonly travellers: readonly Traveller[];
  readonly people: Pick<People, 'marks' | 'isGone' | 'forget'>;
}

export class Purge {
  readonly #around: PurgeAround;

  constructor(around: PurgeAround) {
    this.#around = around;
  }

  /** Marks that are known from what travelled count, also where the list of students is an earlier one. @throws Error */
  remember(): void {
    this.#forget(this.#around.kept.keysBeginning(GONE));
  }

  #forget(keys: readonly string[]): void {
    const done = this.#around.people.forget(keys.flatMap((key) => markIn(key) ?? []));
    if (!done.ok) throw new Error(done.problems[0]!.message);
  }

  isGone = (desk: string): boolean => this.#around.people.isGone(desk);

  /** What is to be taken in of a batch. Marks in it count at once, whatever comes first. @throws Error */
  left(batch: Batch): readonly Fact[] {
    this.#forget(batch.facts.flatMap((fact) => (fact.kind === 'value' ? [fact.key] : [])));
    return this.#without(batch);
  }

  #without({ desk, facts }: Batch): readonly Fact[] {
    if (this.#around.people.marks.size === 0) return facts;
    if (desk !== undefined && this.isGone(desk)) return [];
    return facts.filter((fact) => fact.kind !== 'value' || !this.isAbout(fact.key));
  }

  isAbout(key: string): boolean {
    if (this.#around.people.marks.size === 0) return false;
    const student = this.#around.travellers.find((one) => isOf(one, key))?.studentOf?.(key);
    return student !== undefined && this.isGone(student);
  }

  /**
   * Takes them out of what is kept here and of this machine's files: what else stood in a file is told again first, so
   * that it stands somewhere whenever the program ends.
   */
  async run(person: string, tell: (facts: readonly Fact[]) => void): Promise<void> {
    const { kept, people } = this.#around;
    if (people.marks.size === 0) return;
    const all = [...people.marks].sort().join(' ');
    if (kept.about(PURGED) !== all) {
      kept.forget((key) => this.isAbout(key), this.isGone);
      kept.setAbout(PURGED, all);
    }
    await this.#clearFiles(person, tell);
  }

  /** Each file is looked through once; a long log has hundreds. */
  async #clearFiles(person: string, tell: (facts: readonly Fact[]) => void): Promise<void> {
    const { shared, kept } = this.#around;
    const mine = shared.writers;
    const isMine = (writer: string): boolean => mine.has(writer) || shared.memory.madeHere(writer);
    const full = new Set<string>();
    const { shelf } = shared.look();
    const isReplaced = replacedOn(shelf);
    for (const [id, { batch: head, writer, number }] of shelf) {
      if (head?.person !== person || !isMine(writer) || kept.isClear(id)) continue;
      // One that has just come is taken in first.
      if (!kept.isApplied(id)) continue;
      // It is swept away: what stood in it was told again already.
      if (isReplaced(writer, number)) {
        shared.knowAgain(writer);
        continue;
      }
      await setImmediate();
      // A machine that was left meanwhile stays as it is.
      if (shared.memory.now.own === undefined) return;
      const batch = shared.batch(id);
      if (!batch) continue;
      const left = this.#without(batch);
      if (left.length === batch.facts.length) {
        kept.setClear(id);
        continue;
      }
      const by = { writer, machine: batch.machine };
      const again = left.map((fact) => (fact.kind === 'value' ? { by, ...fact } : fact));
      for (const group of inFiles(again)) tell(group);
      shared.knowAgain(writer);
      full.add(id);
    }
    if (full.size === 0) return;
    const done = shared.empty((_, id) => full.has(id));
    if (!done.ok) throw new Error(done.problems[0]!.message);
  }
}

/** Keeps nothing of what was read of somebody who was removed for good: their files are read anew at each start. */
export const headsOfOthers = (
  heads: KeptHeads,
  isGone: (student: string) => boolean,
): KeptHeads => ({
  get: heads.get,
  set: (key, head) => {
    if (!studentsIn(head).some(isGone)) heads.set(key, head);
  },
});

/** Of whom everything that is kept here has been cleared. */
const PURGED = 'purged';
