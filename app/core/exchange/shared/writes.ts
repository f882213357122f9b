// Values that several machines set: whatever order their writes come in, the same one stands everywhere.
//
// Writes are a set that only grows. Of a key that write stands which has the greatest turn, then the greater name of
// its writer, then the greater text. A write that another machine did not know when it wrote over the same one is not
// lost to it where both are to be kept: it stands aside.
import { textOrder } from '../../base/text-order.ts';
import type { Json, ValueSet } from './facts.ts';

export interface Write extends ValueSet {
  readonly writer: string;
  /** How the player calls the machine. */
  readonly machine: string;
}

/** The turn and the writer, by which writes of one key are told apart. */
export const idOf = ({ turn, writer }: Pick<Write, 'turn' | 'writer'>): string =>
  `${turn}.${writer}`;

export interface Standing {
  readonly top: Write;
  /** Values that were set beside it, each once, none of them the same; in a fixed order. */
  readonly aside: readonly Write[];
}

/** @param writes all of one key; in any order, some perhaps twice */
export function standingOf(writes: readonly Write[]): Standing | undefined {
  const [top, ...others] = writes.toSorted((a, b) => -compare(a, b));
  if (!top) return undefined;
  const followed = new Set(writes.map(({ over }) => over));
  const texts = new Set([JSON.stringify(top.value), 'null']);
  const aside = others.filter((one) => {
    const text = JSON.stringify(one.value);
    if (followed.has(idOf(one)) || texts.has(text)) return false;
    texts.add(text);
    return true;
  });
  return { top, aside };
}

/**
 * As {@link standingOf}, of a thing that is there or not: it stays taken away until somebody who knew of that brings it
 * back, however much others wrote about it meanwhile.
 */
export function standingWhole(writes: readonly Write[]): Standing | undefined {
  const removal = writes
    .filter(({ value }) => value === null)
    .toSorted(compare)
    .at(-1);
  if (!removal) return standingOf(writes);
  const broughtBack = writes.some(({ over }) => over === idOf(removal));
  return broughtBack ? standingOf(writes) : { top: removal, aside: [] };
}

function compare(a: Write, b: Write): number {
  return (
    a.turn - b.turn ||
    textOrder(a.writer, b.writer) ||
    textOrder(JSON.stringify(a.value), JSON.stringify(b.value))
  );
}

/** Equal values give equal text, whatever the order of their keys. */
export const textOf = (value: Json): string => JSON.stringify(sorted(value));

function sorted(value: Json): Json {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value as Readonly<Record<string, Json>>);
  return Object.fromEntries(
    entries
      .filter(([, part]) => part !== undefined)
      .sort(([a], [b]) => textOrder(a, b))
      .map(([key, part]) => [key, sorted(part)]),
  );
}
