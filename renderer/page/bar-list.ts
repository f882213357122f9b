// Bars as people write them down: "5–8, 13".

export type BarListReading =
  /** In order, each once, counted from 1. */
  | { readonly ok: true; readonly bars: readonly number[] }
  | { readonly ok: false; readonly problem: string };

const STRETCH = /^(\d{1,4})(?:\s*(?:[-–—]|to)\s*(\d{1,4}))?$/u;

/** @param last the highest number a bar may have. At least one bar must be named. */
export function readBarList(text: string, last: number): BarListReading {
  const found = new Set<number>();
  const parts = text
    .split(/[,;\s]+and\s+|[,;]/u)
    .map((part) => part.trim())
    .filter((part) => part !== '');
  for (const part of parts) {
    const [, first = '', end = first] = STRETCH.exec(part) ?? [];
    const [from, to] = [Number(first), Number(end)];
    if (first === '') return { ok: false, problem: `“${part}” is no bar. Write 5, or 5–8.` };
    if (from < 1 || to > last || from > last) {
      return { ok: false, problem: `“${part}” lies outside bars 1–${last}.` };
    }
    if (to < from) return { ok: false, problem: `“${part}” runs backwards. Write ${to}–${from}.` };
    for (let bar = from; bar <= to; bar++) found.add(bar);
  }
  if (found.size === 0) return { ok: false, problem: 'Write at least one bar: 5, or 5–8, 13.' };
  return { ok: true, bars: [...found].sort((a, b) => a - b) };
}

/** Neighbours become a stretch: 5, 6, 7, 8, 13 is "5–8, 13". */
export function writeBarList(bars: readonly number[]): string {
  const stretches: [from: number, to: number][] = [];
  for (const bar of bars) {
    const open = stretches.at(-1);
    if (open && bar === open[1] + 1) open[1] = bar;
    else stretches.push([bar, bar]);
  }
  return stretches.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)).join(', ');
}
