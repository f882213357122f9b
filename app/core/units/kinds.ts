// The kinds of unit in the order in which a chart offers them: a new kind is a file in `kinds/`, an entry here
// and one in `ref-schema.ts`.
import type { UnitKind } from '../model/unit.ts';
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

/** What kinds were called until version 0.1: files and logs of that time still say so. */
const EARLIER_WORDS: ReadonlyMap<string, UnitKind> = new Map([
  ['seam', 'join'],
  ['line', 'lead'],
  ['tightest', 'hardest'],
]);

export const todaysKind = (word: string): string => EARLIER_WORDS.get(word) ?? word;
