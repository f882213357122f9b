// A line of a bar chart: "| C | G Am |", "||: D | % :|| x3", "Am / / G | F".
import type { DraftBar } from './model.ts';

/** Bars as written; `symbolOf` reads a chord. A bar line missing at an end is taken as written. */
export function barsOfLine(
  line: string,
  symbolOf: (text: string) => string | undefined,
): { readonly bars: readonly DraftBar[]; readonly times: number } {
  const counted = /(?:[x×]\s*(\d{1,2})|(\d{1,2})\s*[x×])\)?\s*$/iu.exec(line);
  const text = counted ? line.slice(0, counted.index).replace(/\(\s*$/u, '') : line;
  const repeated = /:\s*[|‖]/u.test(text) || /[|‖]\s*:/u.test(text);
  const cells = text.split(/[|‖]+/u).map((cell) => cell.replace(/^\s*:|:\s*$/gu, '').trim());
  const from = cells[0] === '' ? 1 : 0;
  const to = cells.at(-1) === '' ? cells.length - 1 : cells.length;
  const bars = cells
    .slice(from, to)
    .map((cell): DraftBar => ({ chords: signsOf(cell, symbolOf), words: '', guessed: false }));
  const times = counted ? Number(counted[1] ?? counted[2]) : repeated ? 2 : 1;
  return { bars, times };
}

/** Chords, "/" for a beat and "%" for the bar before. */
function signsOf(cell: string, symbolOf: (text: string) => string | undefined): string[] {
  const signs = cell.split(/\s+/u).flatMap((sign) => {
    if (sign === '' || sign === ',') return [];
    if (/^[%𝄎]$|^\.\/\.$/u.test(sign)) return ['%'];
    const symbol = symbolOf(sign);
    if (symbol) return [symbol];
    return /^[/.\-–]+$/u.test(sign) ? [...sign].map(() => '/') : [];
  });
  return signs.length > 0 ? signs : ['/'];
}
