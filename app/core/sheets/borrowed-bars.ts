// Later verses are often written as words alone: they are sung to the bars of the verse above.
import type { DraftBar, SheetLine, SheetSection } from './model.ts';

export interface Borrowed {
  readonly sections: readonly SheetSection[];
  /** What was guessed or could not be, in words for people. */
  readonly notes: readonly string[];
}

/** Sections of words alone with the bars of a section of the same kind above, line by line; others stay as they are. */
export function withBorrowedBars(sections: readonly SheetSection[]): Borrowed {
  const notes: string[] = [];
  const out = sections.map((section, i): SheetSection => {
    const { lines, name, like } = section;
    const told =
      like === undefined ? undefined : sections.slice(0, i).find((other) => isCalled(other, like));
    if (told && lines.length === 0)
      return { ...strumOf(told), ...section, lines: linesOf(told, section) };
    if (lines.length === 0 || lines.some(({ bars }) => bars.length > 0)) return section;
    const from = sections
      .slice(0, i)
      .find((other) => kindOf(other) === kindOf(section) && sung(other).length > 0);
    const over = from ? sung(from) : [];
    // A short verse has the first lines of a long one; a verse twice as long has them twice.
    const fits = lines.length < over.length || lines.length % over.length === 0;
    if (!from || !fits) {
      notes.push(leftOut(section));
      return section;
    }
    notes.push(`${name} has no chords of its own; it takes those of ${from.name}.`);
    return {
      ...strumOf(from),
      ...section,
      lines: lines.map((line, k) => sungTo(line, over[k % over.length]!)),
    };
  });
  return { sections: out, notes };
}

/** What is borrowed is strummed alike, where nothing else is told. */
const strumOf = ({ strum }: SheetSection): Pick<SheetSection, 'strum'> => ({
  ...(strum && { strum }),
});

const isCalled = ({ name, lines }: SheetSection, like: string): boolean =>
  lines.length > 0 && name.toLowerCase() === like.toLowerCase();

/** A verse like a verse has its words, too; a solo has the bars alone. */
function linesOf(other: SheetSection, section: SheetSection): readonly SheetLine[] {
  if (kindOf(other) === kindOf(section)) return other.lines;
  return other.lines.map((line) => ({
    ...line,
    words: '',
    bars: line.bars.map((bar) => ({ ...bar, words: '' })),
  }));
}

function leftOut({ name, lines }: SheetSection): string {
  const [first, last] = [lines[0]!.line, lines.at(-1)!.line];
  return first === last
    ? `Line ${first}, ${name}, is words without chords and is left out.`
    : `Lines ${first} to ${last}, ${name}, are words without chords and are left out.`;
}

const sung = ({ lines }: SheetSection): readonly SheetLine[] =>
  lines.filter(({ bars, words }) => bars.length > 0 && words !== '');

/** "Verse 1" and "Verse 2", "1. Strophe" and "2. Strophe" are of one kind. */
const kindOf = ({ name }: SheetSection): string =>
  name.toLowerCase().replace(/\s*\d+\.?\s*|\s+[ivx]+$/gu, '');

/** The words go over to the next bar where about as much of the line is sung. */
function sungTo(line: SheetLine, { bars, times }: SheetLine): SheetLine {
  const words = line.words.split(/\s+/u);
  const long = (text: string): number => text.length + 1;
  const whole = bars.reduce((sum, bar) => sum + long(bar.words), 0);
  const total = words.reduce((sum, word) => sum + long(word), 0);
  let upTo = 0;
  let taken = 0;
  let next = 0;
  const out = bars.map((bar, i): DraftBar => {
    upTo += (long(bar.words) / whole) * total;
    const from = next;
    while (next < words.length && (i === bars.length - 1 || taken + long(words[next]!) / 2 <= upTo))
      taken += long(words[next++]!);
    return { ...bar, words: words.slice(from, next).join(' '), guessed: true };
  });
  return { ...line, bars: out, times: Math.max(times, line.times) };
}
