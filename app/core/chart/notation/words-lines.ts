// Which bars a typed line of words belongs to, and the words that it has for each of them.
import type { BarWords } from '../../model/chart.ts';
import type { TextPart } from './bar-lines.ts';
import type { WordsLine } from './lines.ts';

/** Every line of words with the bars it runs over; undefined where there is no line of bars left for it. */
export function rowsOfWords(
  lines: readonly WordsLine[],
  rows: readonly (readonly number[])[],
  loose: readonly number[],
): readonly (readonly [WordsLine, readonly number[] | undefined])[] {
  const found: (readonly [WordsLine, readonly number[] | undefined])[] = [];
  for (const block of blocksOf(lines)) {
    const { from, to } = block[0]!;
    if (from === to) found.push(...alongBars(block, loose));
    // A line of words more than lines of bars: the first ones have none.
    else block.forEach((line, i) => found.push([line, rowAt(rows, from, to - block.length + i)]));
  }
  return found;
}

const rowAt = (
  rows: readonly (readonly number[])[],
  from: number,
  index: number,
): readonly number[] | undefined => (index < from ? undefined : rows[index]);

/** Lines of one verse that stand together under the same lines of bars. */
function blocksOf(lines: readonly WordsLine[]): readonly WordsLine[][] {
  const blocks = new Map<string, WordsLine[]>();
  for (const line of lines) {
    const key = `${line.from}–${line.to}: ${line.verse}`;
    blocks.set(key, [...(blocks.get(key) ?? []), line]);
  }
  return [...blocks.values()];
}

/** Borrowed bars have no lines: the words run through all of them, line after line. */
function alongBars(
  lines: readonly WordsLine[],
  bars: readonly number[],
): (readonly [WordsLine, readonly number[] | undefined])[] {
  let at = 0;
  return lines.map((line) => {
    const row = bars.slice(at);
    at += cellsOf(line.text).length;
    return [line, row.length > 0 ? row : undefined] as const;
  });
}

/** What stands between the bar lines; those at the ends of the line may be left out. None without any bar line. */
export function cellsOf(typed: TextPart): readonly TextPart[] {
  const { text, line, column } = typed;
  if (!text.includes('|')) return [];
  const parts = text.split('|');
  let at = 0;
  const cells = parts.map((part) => {
    const cell = {
      text: part.trim(),
      line,
      column: column + at + part.length - part.trimStart().length,
    };
    at += part.length + 1;
    return cell;
  });
  const from = cells[0]!.text === '' ? 1 : 0;
  const to = cells.at(-1)!.text === '' ? cells.length - 1 : cells.length;
  return cells.slice(from, Math.max(to, from));
}

/** The same words over `count` bars, about equally many in each. */
export function spread(text: string, count: number): string {
  const words = text.replaceAll('|', ' ').split(/\s+/u).filter(Boolean);
  const cells = Array.from({ length: count }, (_, i) =>
    words
      .slice(Math.round((i * words.length) / count), Math.round(((i + 1) * words.length) / count))
      .join(' '),
  );
  return `| ${cells.join(' | ')} |`;
}

/** Verses after the last that is sung here say nothing. */
export function withoutEmptyEnd(verses: readonly BarWords[]): readonly BarWords[] {
  const last = verses.findLastIndex((words) => words.length > 0);
  return verses.slice(0, last + 1);
}
