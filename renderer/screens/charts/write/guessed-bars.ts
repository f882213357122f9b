// Which bars of a typed chart were guessed: those on a line under the mark that the reader of sheets leaves.
import { isGuessLine } from '../../../../app/core/chart/edit/guess.ts';
import type { ChartPlaces } from '../../../../app/core/chart/notation/parse.ts';

/** For each section the indexes of its guessed bars. */
export function guessedBars(
  text: string,
  { sections }: ChartPlaces,
): readonly ReadonlySet<number>[] {
  const lines = text.split(/\r\n|\n|\r/u);
  const guessed = lines.map((_, i) => i > 0 && isGuessLine(lines[i - 1]!));
  return sections.map(
    ({ bars }) =>
      new Set(bars.flatMap(({ span }, i) => (guessed[span.line - 1] === true ? [i] : []))),
  );
}

/** The text without the mark above the line that a place stands on. */
export function withoutMark(text: string, line: number): string {
  const lines = text.split('\n');
  return isGuessLine(lines[line - 2] ?? '') ? lines.toSpliced(line - 2, 1).join('\n') : text;
}
