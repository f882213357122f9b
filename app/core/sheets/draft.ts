// From a read sheet to a chart in the program's own notation, with every guess marked by a comment.
import type { TypedParts } from '../chart/notation/add-sections.ts';
import { parseChart } from '../chart/notation/parse.ts';
import { isName } from '../chart/rules/names.ts';
import { printStrum } from '../rhythm/strum.ts';
import type { Meter } from '../model/chart.ts';
import type { NoteNames } from '../model/chord.ts';
import { MAX_SECTIONS } from '../model/limits.ts';
import { inNames } from '../harmony/note-names.ts';
import { withBorrowedBars } from './borrowed-bars.ts';
import { linesOfBars, withoutRepeats } from './draft-bars.ts';
import { draftHead } from './draft-head.ts';
import { withEvenBars } from './even-bars.ts';
import type { Sheet, SheetLine, SheetSection } from './model.ts';
import { shapeLines } from './shapes.ts';
import { strumOver } from './strum.ts';

export interface Draft extends TypedParts {
  /** A chart as it may be typed; it reads without a mistake unless the sheet has no chord at all. */
  readonly text: string;
  /** What was guessed or made up, in words for people. */
  readonly guesses: readonly string[];
}

/**
 * `taken` are names of sections that the chart has already, into which the sheet is to come; `names` is how that
 * chart names notes, and a chart of its own names them as the sheet does.
 */
export function draftOf(
  sheet: Sheet,
  taken: readonly string[] = [],
  names: NoteNames | undefined = sheet.names,
): Draft {
  const { sections: read, notes } = withBorrowedBars(withEvenBars(sheet.sections));
  const named = uniqueSections(read, taken);
  const written = named.filter(({ section }) => section.lines.some((line) => line.bars.length > 0));
  const { meter, lines: facts, guesses: put } = draftHead(sheet, names);
  const guesses = [...put, ...leftAtNames(named, written)];
  const all = written.flatMap(({ section }) => section.lines.flatMap((line) => line.bars));
  const played = new Set(all.flatMap(({ chords }) => chords));
  const tell = (guess: string): void => void guesses.push(guess);
  const head = [facts, ...shapeLines(sheet.shapes, played, names, tell)].join('\n');
  const lines = all.some((bar) => bar.guessed)
    ? ['Bar lines are guessed, a chord a bar or two: move, join, split or hold them.']
    : [];
  const strums = strumLines([sheet, ...written.map(({ section }) => section)], meter, tell);
  const sections = written.slice(0, MAX_SECTIONS).map(({ name, section }) => {
    const marks = [
      ...(strums.get(section.strum ?? sheet.strum) ?? []),
      ...section.remarks.map((remark) => `remark: ${remark}`),
    ];
    return sectionText([`[${name}]`, ...marks], inNamesOf(section, names), meter, head);
  });
  const form = toldForm(sheet, written) ?? formOf(named, written);
  const order = form.length > 0 ? [['form:', ...form].join('\n')] : [];
  const text = `${[head, ...sections, ...order].join('\n\n')}\n`;
  return { text, guesses: [...notes, ...guesses, ...lines], sections, form };
}

/** The order that a line of the sheet tells, where all its names are sections; "A A B" as well as "A, A, B". */
function toldForm({ form }: Sheet, written: readonly Named[]): readonly string[] | undefined {
  const entries = form?.map((typed) => {
    const [, name = typed, a, b] =
      /^(.+?)\s*(?:[([]?\s*(?:[x×]\s*(\d{1,2})|(\d{1,2})\s*[x×])\s*[)\]]?)$/iu.exec(typed) ?? [];
    const known = written.find((one) => one.name.toLowerCase() === name.trim().toLowerCase());
    const times = Number(a ?? b ?? 1);
    return known && `${known.name}${times > 1 ? ` x${times}` : ''}`;
  });
  return entries?.every((entry) => entry !== undefined) ? entries : undefined;
}

const inNamesOf = (section: SheetSection, names: NoteNames | undefined): SheetSection => ({
  ...section,
  lines: section.lines.map((line) => ({
    ...line,
    bars: line.bars.map((bar) => ({
      ...bar,
      chords: bar.chords.map((symbol) => inNames(symbol, names)),
    })),
  })),
});

interface Named {
  /** Unlike any other in the chart. */
  readonly name: string;
  readonly section: SheetSection;
}

/** A second "Verse" with bars of its own is "Verse 2"; one without is the first one again. */
function uniqueSections(
  sections: readonly SheetSection[],
  known: readonly string[],
): readonly Named[] {
  const taken = new Set(known.map((name) => name.toLowerCase()));
  const before: { readonly base: string; readonly named: Named }[] = [];
  return sections.map((section, i) => {
    const plain = section.name
      .replace(/[[\]|,:=]/gu, ' ')
      .replace(/\s+/gu, ' ')
      .trim();
    const base = isName(plain) ? plain : `Part ${i + 1}`;
    const hasBars = section.lines.some((line) => line.bars.length > 0);
    if (!hasBars) return { name: base, section };
    const again = before.find((one) => one.base === base && sameLines(one.named.section, section));
    if (again) return { name: again.named.name, section: { ...section, lines: [] } };
    let name = base;
    for (let n = 2; taken.has(name.toLowerCase()); n++)
      name = `${base.replace(/\s\d+$/u, '')} ${n}`;
    taken.add(name.toLowerCase());
    const named = { name, section };
    before.push({ base, named });
    return named;
  });
}

/** The same bars and words, wherever they stand in the sheet. */
const sameLines = (a: SheetSection, b: SheetSection): boolean =>
  JSON.stringify(a.lines.map(({ bars, times }) => ({ bars, times }))) ===
  JSON.stringify(b.lines.map(({ bars, times }) => ({ bars, times })));

function formOf(sections: readonly Named[], written: readonly Named[]): readonly string[] {
  return sections.flatMap(({ name, section }) => {
    const known =
      written.find((other) => other.name.toLowerCase() === name.toLowerCase()) ??
      written.find((other) => other.name.toLowerCase().startsWith(`${name.toLowerCase()} `));
    return known ? [`${known.name}${section.times > 1 ? ` x${section.times}` : ''}`] : [];
  });
}

/** What is told beside the name of a section that is only played again, in words for people. */
const leftAtNames = (named: readonly Named[], written: readonly Named[]): readonly string[] =>
  named
    .filter((one) => !written.includes(one))
    .flatMap(({ name, section: { remarks, strum } }) =>
      [...remarks, ...(strum ? [`strum ${strum}`] : [])].map(
        (told) => `“${told}” at ${name}, which has no bars of its own here, is left out.`,
      ),
    );

/** The typed line of each strum that is told, by its strokes; what is made of them is told among the guesses. */
function strumLines(
  told: readonly { readonly strum?: string }[],
  meter: Meter,
  tell: (guess: string) => void,
): ReadonlyMap<string | undefined, readonly string[]> {
  const lines = new Map<string | undefined, readonly string[]>();
  for (const strum of new Set(told.flatMap((one) => one.strum ?? []))) {
    const laid = strumOver(strum, meter);
    const typed = laid && printStrum(laid, meter);
    lines.set(strum, typed ? [`strum: ${typed}`] : []);
    tell(
      typed
        ? `The strum “${strum}” is read as ${typed}.`
        : `The strum “${strum}” fits no bar and is left out.`,
    );
  }
  return lines;
}

function sectionText(
  head: readonly string[],
  { lines }: SheetSection,
  meter: Meter,
  song: string,
): string {
  const typed = (of: readonly SheetLine[]): string =>
    [...head, ...linesOfBars(of, meter)].join('\n');
  const text = typed(lines);
  const repeats = lines.some(({ bars }) => bars.some(({ before, after }) => before || after));
  // Repeats that make no sense as a sheet has them are played once.
  return repeats && !parseChart(`${song}\n\n${text}\n`).ok ? typed(withoutRepeats(lines)) : text;
}
