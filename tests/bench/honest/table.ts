// The tables that the honest rows print: shares with their counts and 95 % intervals.
import { wilson } from './owned.ts';

export const share = (hits: number, of: number): string => {
  if (of === 0) return '–';
  const [low, high] = wilson(hits, of);
  return `${(hits / of).toFixed(2)} (${low.toFixed(2)}–${high.toFixed(2)}; ${hits}/${of})`;
};

/** Lines of cells, each column as wide as its widest cell. */
export function table(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((row) => row[i]?.length ?? 0)));
  return rows
    .map((row) => `      ${row.map((cell, i) => cell.padEnd(widths[i]!)).join('  ')}`.trimEnd())
    .join('\n');
}
