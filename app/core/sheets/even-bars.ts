// What the lines of a song have in common corrects the bars that were guessed from one of them alone.
import { barsOfSizes } from './guess-bars.ts';
import type { DraftBar, SheetLine, SheetSection } from './model.ts';

/**
 * Lines with the same chords get the same bars, and a line of three bars among lines of four holds its last chord, one
 * among lines of two joins the chords that stand nearest (common practice, no source). Written bars stay.
 */
export function withEvenBars(sections: readonly SheetSection[]): readonly SheetSection[] {
  const alike = sizesByChords(sections.flatMap(({ lines }) => lines));
  return sections.map((section) => {
    const lines = section.lines.map((line) => {
      const sizes = alike.get(chordsOf(line));
      return sizes && isGuessed(line) ? resized(line, sizes) : line;
    });
    const usualBeside = barsBeside(lines);
    return { ...section, lines: lines.map((line) => evened(line, usualBeside)) };
  });
}

const isGuessed = ({ bars, chords }: SheetLine): boolean =>
  bars.length > 0 && bars.every(({ guessed }) => guessed) && sum(sizesOf(bars)) === chords.length;
const chordsOf = ({ chords }: SheetLine): string => chords.map(({ symbol }) => symbol).join(' ');
const sizesOf = (bars: readonly DraftBar[]): readonly number[] =>
  bars.map(({ chords }) => chords.length);
const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0);

const resized = (line: SheetLine, sizes: readonly number[]): SheetLine =>
  sizes.join() === sizesOf(line.bars).join()
    ? line
    : { ...line, bars: barsOfSizes(line.words, line.chords, sizes) };

/** For each row of chords its likeliest bars: what most of its lines have, and among equals a round number of bars. */
function sizesByChords(lines: readonly SheetLine[]): ReadonlyMap<string, readonly number[]> {
  const found = new Map<string, Map<string, number>>();
  for (const line of lines.filter(isGuessed)) {
    const counts = found.get(chordsOf(line)) ?? new Map<string, number>();
    const sizes = sizesOf(line.bars).join();
    found.set(chordsOf(line), counts.set(sizes, (counts.get(sizes) ?? 0) + 1));
  }
  return new Map(
    [...found].map(([chords, counts]) => {
      const [likeliest] = [...counts].toSorted(
        ([a, often], [b, oftener]) => oftener - often || oddness(a) - oddness(b),
      );
      return [chords, likeliest![0].split(',').map(Number)];
    }),
  );
}

function oddness(sizes: string): number {
  const bars = sizes.split(',').length;
  return bars % 4 === 0 ? 0 : bars % 2 === 0 ? 1 : 2;
}

type BarsBeside = (line: SheetLine) => number | undefined;

/** For a line with guessed bars: how many bars most other such lines of the section have. */
function barsBeside(lines: readonly SheetLine[]): BarsBeside {
  const guessed = lines.filter(isGuessed);
  const counts = new Map<number, number>();
  for (const { bars } of guessed) counts.set(bars.length, (counts.get(bars.length) ?? 0) + 1);
  return ({ bars }) => {
    const others = (count: number): number => counts.get(count)! - (count === bars.length ? 1 : 0);
    return [...counts.keys()].find((count) => others(count) * 2 > guessed.length - 1);
  };
}

function evened(line: SheetLine, usualBeside: BarsBeside): SheetLine {
  if (!isGuessed(line) || line.bars.length !== 3) return line;
  const usual = usualBeside(line);
  if (usual === 4)
    return { ...line, bars: [...line.bars, { chords: ['%'], words: '', guessed: true }] };
  const sizes = sizesOf(line.bars);
  if (usual !== 2 || sum(sizes) !== 3) return line;
  const [a, b, c] = line.chords.map(({ at }) => at) as [number, number, number];
  return resized(line, b - a < c - b ? [2, 1] : [1, 2]);
}
