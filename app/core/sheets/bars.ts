// A line of a bar chart: "| C | G Am |", "||: D | % :|| x3", "|1. D :|2. G |", "Am / / G | F".
import { type BarLine, splitBars } from '../chart/notation/bar-lines.ts';
import { remarkOf } from './guess-bars.ts';
import type { DraftBar } from './model.ts';
import { type ReadSymbol, chordsAmong, tokensOf } from './tokens.ts';

export interface LineBar extends DraftBar {
  /** In the line, where what stands in it begins. */
  readonly at: number;
}

/** Bars as written; `symbolOf` reads a chord. A bar line missing at an end is taken as written. */
export function barsOfLine(
  line: string,
  symbolOf: ReadSymbol,
): { readonly bars: readonly LineBar[]; readonly times: number } {
  // The column of a sign stays what it was.
  const text = withPlainSigns(line);
  const opened = /^\s*:?\|/u.test(text) ? text : `|${text}`;
  const shift = text.length - opened.length;
  const split = splitBars([{ text: opened, line: 1, column: 1 }]);
  const counted = COUNT.exec(text);
  // "| C | G | x2" has the whole line twice; behind a repeat the count is the repeat's.
  const whole =
    counted !== null && !split.some(({ before, after }) => before.repeatEnd || after.repeatEnd);
  const bars = split
    .filter(({ text: cell }, i) => i < split.length - 1 || cell.replace(COUNT, '').trim() !== '')
    .map(({ text: cell, column, before, after }): LineBar => {
      const remark = remarkOf(chordsAmong(tokensOf(cell, symbolOf)));
      return {
        chords: signsOf(cell.replace(COUNT, ''), symbolOf),
        words: '',
        guessed: false,
        ...(remark && { remark }),
        at: column - 1 + shift,
        ...(!isPlain(before) && { before }),
        ...(!isPlain(after) && { after: asUsual(after) }),
      };
    });
  if (!whole) return { bars, times: 1 };
  const plain = bars.map(({ before: _, after: __, ...bar }) => bar);
  return { bars: plain, times: Number(counted[1]) };
}

/** Twice need not be said. */
function asUsual({ times, ...line }: BarLine): BarLine {
  return line.repeatEnd && times === 2 ? line : { ...line, ...(times !== undefined && { times }) };
}

/** At the end of a line. */
const COUNT = /\s*x(\d{1,2})\s*$/u;

const isPlain = ({ repeatEnd, repeatStart, endings, times }: BarLine): boolean =>
  !repeatEnd && !repeatStart && endings === undefined && times === undefined;

/** Signs as charts type them, each line as long as before. */
const withPlainSigns = (line: string): string =>
  line
    .replace(/‖/gu, '|')
    .replace(/𝄆/gu, '|:')
    .replace(/𝄇/gu, ':|')
    .replace(/:(\s+)\|/gu, '$1:|')
    .replace(/\|(\s+):/gu, '|:$1')
    .replace(/\(\s*(?:[x×]\s?(\d{1,2})|(\d{1,2})\s?(?:[x×]|times|mal))\s*\)/giu, countIn)
    .replace(/[x×] ?(\d{1,2})(?=\s*$)|(?<=[\s|])(\d{1,2})\s?(?:[x×]|times|mal)(?=\s*$)/giu, countIn)
    // "|1 D", "| 1.) D", "|[1. D": the number of an ending.
    .replace(
      /\|(\s?)\[?([1-9](?:\s?,\s?[1-9])?)(?:\.\)|[.):]|(?=\s))\]?(?!\d)/gu,
      (typed, _, ending: string) =>
        `|${ending}.`.padEnd(typed.length).slice(0, Math.max(typed.length, ending.length + 2)),
    );

const countIn = (typed: string, a?: string, b?: string): string =>
  `x${a ?? b}`.padEnd(typed.length);

/** Chords, "/" for a beat and "%" for the bar before. */
function signsOf(cell: string, symbolOf: ReadSymbol): string[] {
  const signs = cell.split(/\s+/u).flatMap((sign) => {
    if (sign === '' || sign === ',') return [];
    if (/^[%𝄎]$|^\.\/\.$/u.test(sign)) return ['%'];
    const symbol = symbolOf(sign);
    if (symbol) return [symbol];
    return /^[/.\-–]+$/u.test(sign) ? [...sign].map(() => '/') : [];
  });
  return signs.length > 0 ? signs : ['/'];
}
