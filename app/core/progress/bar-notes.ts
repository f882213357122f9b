// A note that names bars: its line "Bar 3: keep the little finger down" belongs at bar 3, the rest to the whole part.
import type { PlayedBar } from '../model/unit.ts';

export interface NoteInPlace {
  /** What holds for all of it; may be empty. */
  readonly whole: string;
  /** For each bar of the unit what is said there, in the order it was written. */
  readonly atBars: readonly (readonly string[])[];
  /** Every line that names bars which are there: what it says, and where it stands. */
  readonly placed: readonly { readonly where: string; readonly text: string }[];
  /** Lines that name bars which the unit has not; they stand in `whole`, too. */
  readonly nowhere: readonly string[];
}

type Bars = readonly Pick<PlayedBar, 'section' | 'bar' | 'number'>[];

/** "Bar 3: …", "Bars 3–4, 7: …", "Chorus, bar 2: …"; numbers as they stand at the bars, so a pickup has none. */
const LINE =
  /^(?:(.{1,80}?)[\s,:]+)?bars?\s+(\d{1,3}(?:\s*(?:[-–—,&]|to|and)\s*\d{1,3})*)\s*[:.–—-]\s+(\S.*)$/iu;
/** Several may stand in one line: "bar 3: thumb; bar 5: wrist". */
const BETWEEN = /\n|;\s*(?=(?:[^;:\n]{1,60}[\s,]\s*)?bars?\s+\d)/iu;

/** Parts a teacher's note into what is for single bars and what is for all of it. */
export function noteInPlace(note: string, bars: Bars): NoteInPlace {
  const atBars: string[][] = bars.map(() => []);
  const whole: string[] = [];
  const placed: { where: string; text: string }[] = [];
  const nowhere: string[] = [];
  for (const line of note.split(BETWEEN).map((one) => one.trim())) {
    if (line === '') continue;
    const named = namedIn(line, bars);
    if (!named) {
      whole.push(line);
    } else if (named.at.length === 0) {
      whole.push(line);
      nowhere.push(line);
    } else {
      for (const at of named.at) atBars[at]!.push(named.text);
      placed.push({ where: sayWhere(named.at, bars), text: named.text });
    }
  }
  return { whole: whole.join('\n'), atBars, placed, nowhere };
}

/** Undefined where the line names no bars; no index where it names bars that are not there. */
function namedIn(line: string, bars: Bars) {
  const [, before, numbers, text] = LINE.exec(line) ?? [];
  if (numbers === undefined || text === undefined) return undefined;
  const section = before?.trim().toLocaleLowerCase();
  const ranges = rangesIn(numbers);
  const at = bars.flatMap((bar, i) =>
    (section === undefined || isIn(bar, section)) &&
    ranges.some(([from, to]) => numberOf(bar) >= from && numberOf(bar) <= to)
      ? [i]
      : [],
  );
  // "Before bar 3: breathe" names no section called "Before": it is prose.
  const isProse = section !== undefined && !bars.some((bar) => isIn(bar, section));
  return isProse ? undefined : { at, text };
}

const isIn = ({ section }: Bars[number], lowered: string): boolean =>
  section.toLocaleLowerCase() === lowered;

const numberOf = ({ number, bar }: Bars[number]): number => number ?? bar;

/** "3–4, 7" as [3, 4] and [7, 7]. */
const rangesIn = (numbers: string): readonly (readonly [number, number])[] =>
  numbers.split(/,|&|and/iu).map((part) => {
    const [from = 0, to = from] = part.split(/[-–—]|to/iu).map(Number);
    return from <= to ? [from, to] : [to, from];
  });

/** "bar 3 of Verse, bar 3 of Chorus"; the section is left out where there is one. */
function sayWhere(at: readonly number[], bars: Bars): string {
  const one = bars.every(({ section }) => section === bars[0]?.section);
  const names = at.map((i) => {
    const bar = bars[i]!;
    return one ? `bar ${numberOf(bar)}` : `bar ${numberOf(bar)} of ${bar.section}`;
  });
  return [...new Set(names)].join(', ');
}
