// Lays typed lines of words under the bars of a section or of an altered ending.
import type { Problem } from '../../base/result.ts';
import type { BarWords } from '../../model/chart.ts';
import { MAX_VERSES } from '../../model/limits.ts';
import type { BuiltBar } from './bar-build.ts';
import { type SectionLines, type WordsLine, spanOf } from './lines.ts';
import { readBarWords } from './words.ts';
import { cellsOf, rowsOfWords, spread, withoutEmptyEnd } from './words-lines.ts';

/** The bars of each typed line of bars, and those of no line: they are borrowed. Indexes from 0. */
export interface BarRows {
  readonly lines: readonly (readonly number[])[];
  readonly loose: readonly number[];
}

/** Which bars stand in which typed line. @param borrowed how many bars, all at the front, come from another section */
export function rowsOf(
  { bars: lines }: SectionLines,
  bars: readonly BuiltBar[],
  borrowed: number,
): BarRows {
  const own = Map.groupBy(
    bars.keys().filter((i) => i >= borrowed),
    (i) => bars[i]!.span.line,
  );
  return {
    lines: lines.map(({ line }) => own.get(line) ?? []),
    loose: Array.from({ length: borrowed }, (_, i) => i),
  };
}

/** The bars with their words, verse by verse; lines that do not fit are said and left out. */
export function layWords(
  bars: readonly BuiltBar[],
  words: readonly WordsLine[],
  rows: BarRows,
  say: (problem: Problem) => void,
): BuiltBar[] {
  const verses = bars.map((): BarWords[] => []);
  for (const [line, row] of rowsOfWords(words, rows.lines, rows.loose)) {
    const cells = cellsOf(line.text);
    const problem = lineProblem(line, cells.length, row);
    if (problem) {
      say(problem);
      continue;
    }
    cells.forEach((cell, i) => {
      const bar = bars[row![i]!]!;
      const { words: sung, stray } = readBarWords(cell.text, bar.meter, bar.bar.pickup);
      if (stray !== undefined) {
        const cure = 'Write @ and a beat of the bar, e.g. @1, @3& or @2+1/3.';
        const message = `“${stray}” is no beat of this bar`;
        say({ code: 'words-beat', message, cure, span: spanOf(cell) });
      }
      const of = verses[row![i]!]!;
      while (of.length < line.verse - 1) of.push([]);
      of[line.verse - 1] = [...(of[line.verse - 1] ?? []), ...sung];
    });
  }
  return bars.map((built, i) => {
    const sung = withoutEmptyEnd(verses[i]!);
    return sung.length > 0 ? { ...built, bar: { ...built.bar, words: sung } } : built;
  });
}

function lineProblem(
  line: WordsLine,
  cells: number,
  row: readonly number[] | undefined,
): Problem | undefined {
  const span = spanOf(line.text);
  if (line.verse < 1 || line.verse > MAX_VERSES) {
    const cure = `Number verses from 1 to ${MAX_VERSES}.`;
    return { code: 'words-verse', message: `there is no verse ${line.verse}`, cure, span };
  }
  if (row && cells > 0 && cells <= row.length) return undefined;
  const has = `the line of words has ${cells} ${cells === 1 ? 'bar' : 'bars'}`;
  const above = row
    ? `; the bars above it are ${row.length}`
    : ', but no line of bars of its own above it';
  const cure = 'Write | between the words wherever the bars have one.';
  const problem = { code: 'words-bars', message: has + above, cure, span };
  if (!row || row.length === 0) return problem;
  const edits = [{ ...span, text: spread(line.text.text, row.length) }];
  return {
    ...problem,
    remedy: {
      label: row.length === 1 ? 'Put them in the bar' : `Spread them over ${row.length} bars`,
      edits,
    },
  };
}
