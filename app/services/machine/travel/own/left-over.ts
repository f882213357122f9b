// Files of this machine for which a later one says that it stands, and that are there all the same: the program ended
// before they were taken away, a service brought them back, or another computer wrote them that has a copy of this data
// folder and so the same name. What of them stands nowhere else is told again before they go.
import type { Batch, Fact } from '../../../../core/exchange/shared/facts.ts';
import {
  entriesOfFacts,
  factsOfEntries,
  inFiles,
} from '../../../../core/exchange/shared/in-files.ts';
import { type OnShelf, replacedOn } from '../../../../core/exchange/shared/shelf.ts';
import { OWN_DESK } from '../../../../core/progress/assignment.ts';
import type { SharedFolder } from '../../shared/shared-folder.ts';
import { namesIn, nameOfEntry } from './fact-names.ts';
import type { KeptWrites } from './kept-writes.ts';

interface LeftOverAround {
  readonly shared: SharedFolder;
  readonly kept: KeptWrites;
  /** But what is about people who were removed for good. */
  readonly left: (batch: Batch) => readonly Fact[];
  readonly tell: (facts: readonly Fact[], desk: string) => void;
}

/** Returns the hashes of those that may go. @throws Error where something could not be told */
export function tellLeftOver(around: LeftOverAround, person: string): ReadonlySet<string> {
  const { shared, kept } = around;
  const held = new Map<string, ReadonlySet<string>>();
  const told = new Set<string>();
  for (const { id, one } of shared.replaced()) {
    // One that has just come is taken in first.
    if (one.batch?.person !== person || !kept.isApplied(id)) continue;
    const batch = shared.batch(id);
    if (!batch) continue;
    const names = held.get(one.writer) ?? namesOf(shared, one.writer);
    held.set(one.writer, names);
    tellWithout(around, { ...batch, facts: around.left(batch) }, one, names);
    told.add(id);
  }
  return told;
}

/** What stands in the files of a writer, but in those for which others stand. */
function namesOf(shared: SharedFolder, writer: string): ReadonlySet<string> {
  const { shelf } = shared.look();
  const isReplaced = replacedOn(shelf);
  return new Set(
    [...shelf]
      .filter(([, one]) => one.batch && one.writer === writer && !isReplaced(writer, one.number))
      .flatMap(([id]) => {
        const batch = shared.batch(id);
        return batch ? namesIn(batch, writer) : [];
      }),
  );
}

function tellWithout(
  { tell }: LeftOverAround,
  batch: Batch,
  { writer }: OnShelf,
  known: ReadonlySet<string>,
): void {
  const { desk = OWN_DESK, machine } = batch;
  const isNew = (fact: Fact): boolean =>
    namesIn({ ...batch, facts: [fact] }, writer).some((name) => !known.has(name));
  const entries = entriesOfFacts(batch.facts).filter(
    (entry) => !known.has(nameOfEntry(desk, entry)),
  );
  const values = batch.facts
    .filter((fact) => fact.kind === 'value')
    .filter(isNew)
    .map((fact): Fact => ({ by: { writer, machine }, ...fact }));
  for (const facts of [...factsOfEntries(entries), ...inFiles(values)]) tell(facts, desk);
}
