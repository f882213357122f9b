// What tells one fact from any other, whichever file it stands in and however often it is told.
import type { Batch, Fact } from '../../../../core/exchange/shared/facts.ts';
import { entriesOfFacts } from '../../../../core/exchange/shared/in-files.ts';
import { textOf, type Write } from '../../../../core/exchange/shared/writes.ts';
import type { LogEntry } from '../../../../core/model/pass.ts';
import { OWN_DESK } from '../../../../core/progress/assignment.ts';

export const nameOfEntry = (desk: string, entry: LogEntry): string =>
  `${desk}\n${entry.kind === 'pass' ? entry.pass.id : JSON.stringify(entry.amendment)}`;

export const nameOfWrite = ({ key, turn, writer, value }: Write): string =>
  JSON.stringify([key, turn, writer, textOf(value)]);

/** The writes among facts of a file, each by who told it first. */
export const writesIn = (
  facts: readonly Fact[],
  writer: string,
  machine: string,
): readonly Write[] =>
  facts.flatMap((fact) => {
    if (fact.kind !== 'value') return [];
    const { key, value, turn, over, by = { writer, machine } } = fact;
    return { key, value, turn, ...by, ...(over === undefined ? {} : { over }) };
  });

/** The names of all facts in a batch. */
export const namesIn = (
  { facts, desk = OWN_DESK, machine }: Batch,
  writer: string,
): readonly string[] => [
  ...entriesOfFacts(facts).map((entry) => nameOfEntry(desk, entry)),
  ...writesIn(facts, writer, machine).map(nameOfWrite),
];
