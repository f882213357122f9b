// What each kind of unit means in a chart: a new kind is a file in `kinds/`, an entry here, its spelling in `keys.ts`
// and its stored form in `ref-schema.ts`.
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

/** What a kind knows about itself. */
export const kindOf = <K extends UnitKind>(kind: K): KindOfUnit<K> => table[kind];
