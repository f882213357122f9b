// What tells one fact from any other, whichever file it stands in and however often it is told.
import { createHash } from 'node:crypto';
import type { Batch, Fact, Json } from '../../../../core/exchange/shared/facts.ts';
import { entriesOfFacts } from '../../../../core/exchange/shared/in-files.ts';
import { textOf, type Write } from '../../../../core/exchange/shared/writes.ts';
import type { LogEntry } from '../../../../core/model/pass.ts';
import { MAX_IDENTITY } from '../../../../core/progress/desk-schema.ts';
import { OWN_DESK } from '../../../../core/progress/assignment.ts';

/** Equal for the same fact on every machine. */
export const nameOfEntry = (desk: string, entry: LogEntry): string =>
  `${desk}\n${entry.kind === 'pass' ? entry.pass.id : JSON.stringify(entry.amendment)}`;

/** Equal writes have equal names, whatever the order of their keys. */
export const nameOfWrite = ({ key, turn, writer, value }: Write): string =>
  JSON.stringify([key, turn, writer, textOf(value)]);

/**
 * Under which name a writer sets a value: with a sum of it, so that a data folder and its copy, whose files have the same
 * writer and numbers, never give two values one id.
 */
export const nameWithSum = (writer: string, value: Json): string => {
  const sum = createHash('sha256').update(textOf(value)).digest('hex').slice(0, 10);
  return `${writer.slice(0, MAX_IDENTITY - sum.length - 1)}-${sum}`;
};

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
