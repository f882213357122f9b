// The kinds of unit in the order in which a chart offers them: a new kind is a file in `kinds/` and an entry here.
import { z } from 'zod';
import type { UnitKind, UnitRef } from '../model/unit.ts';
import { bars } from './kinds/bars.ts';
import { form } from './kinds/form.ts';
import { hardest } from './kinds/hardest.ts';
import { join } from './kinds/join.ts';
import type { KindOfUnit } from './kinds/kind.ts';
import { lead } from './kinds/lead.ts';
import { pair } from './kinds/pair.ts';
import { section } from './kinds/section.ts';
import { stretch } from './kinds/stretch.ts';

const table: { readonly [K in UnitKind]: KindOfUnit<K> } = {
  section,
  bars,
  lead,
  join,
  hardest,
  pair,
  stretch,
  form,
};

export const UNIT_KINDS = Object.keys(table) as readonly UnitKind[];

export const isUnitKind = (word: string): word is UnitKind => Object.hasOwn(table, word);

/** What a kind knows about itself. */
export const kindOf = <K extends UnitKind>(kind: K): KindOfUnit<K> => table[kind];

const [first, ...others] = UNIT_KINDS.map((kind) => table[kind].schema);

/** Checks any pointer at a unit; words of earlier versions are read as today's. */
export const unitRefSchema: z.ZodType<UnitRef> = z.preprocess(
  todaysRef,
  z.union([first!, ...others]),
);

/** What kinds were called until version 0.1: files and logs of that time still say so. */
const EARLIER_WORDS: ReadonlyMap<string, UnitKind> = new Map([
  ['seam', 'join'],
  ['line', 'lead'],
  ['tightest', 'hardest'],
]);

export const todaysKind = (word: string): string => EARLIER_WORDS.get(word) ?? word;

function todaysRef(ref: unknown): unknown {
  if (typeof ref !== 'object' || ref === null || !('kind' in ref)) return ref;
  const { kind, ...rest } = ref as Record<string, unknown>;
  if (typeof kind !== 'string') return ref;
  if (kind !== 'line') return { kind: todaysKind(kind), ...rest };
  const { line, ...place } = rest;
  return { kind: 'lead', lead: line, ...place };
}
