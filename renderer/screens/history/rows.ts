// The rows of a table of figures: a list, or made when they are looked at, for a long log has many.
import type { Cell } from '../../../app/core/exchange/desk/csv.ts';

export interface Rows {
  readonly length: number;
  readonly at: (index: number) => readonly Cell[] | undefined;
}

/** At most `most` rows of a table, from the row `from` on (from 0). */
export const cellsOf = (rows: Rows, from = 0, most = Infinity): (readonly Cell[])[] =>
  Array.from({ length: Math.min(most, rows.length - from) }, (_, i) => rows.at(from + i) ?? []);
