// From a read sheet to a chart in the program's own notation, with every guess marked by a comment.
import { isSyllable } from '../chart/rules/syllable.ts';
import { isName } from '../chart/rules/names.ts';
import { readKey } from '../harmony/key.ts';
import { inNames, keyInNames } from '../harmony/note-names.ts';
import type { NoteNames } from '../model/chord.ts';
import { MAX_SECTIONS, MAX_TITLE } from '../model/limits.ts';
import { GUESS_MARK } from '../chart/edit/guess.ts';
import type { TypedParts } from '../chart/notation/add-sections.ts';
import { withBorrowedBars } from './borrowed-bars.ts';
import type { DraftBar, Sheet, SheetLine, SheetSection } from './model.ts';

export interface Draft extends TypedParts {
  /** A chart as it may be typed; it reads without a mistake unless the sheet has no chord at all. */
  readonly text: string;
  /** What was guessed or made up, in words for people. */
  readonly guesses: readonly string[];
}

const BARS_PER_LINE = 4;
/** Common practice where a sheet says no tempo. */
const USUAL_TEMPO = 96;

/**
 * `taken` are names of sections that the chart has already, into which the sheet is to come; `names` is how that
 * chart names notes, and a chart of its own names them as the sheet does.
 */
export function draftOf(
  sheet: Sheet,
  taken: readonly string[] = [],
  names: NoteNames | undefined = sheet.names,
): Draft {
  const { sections: read, notes } = withBorrowedBars(sheet.sections);
  const guesses: string[] = [...notes];
  const named = uniqueSections(read, taken);
  const meter = sheet.meter ?? '4/4';
  if (sheet.tempo === undefined) guesses.push(`No tempo is written; ♩ = ${USUAL_TEMPO} is put in.`);
  if (sheet.meter === undefined) guesses.push('No meter is written; 4/4 is put in.');
  if (!sheet.title) guesses.push('No title is written.');
  const written = named.filter(({ section }) => section.lines.some((line) => line.bars.length > 0));
  const all = written.flatMap(({ section }) => section.lines.flatMap((line) => line.bars));
  if (all.some((bar) => bar.guessed))
    guesses.push('Bar lines are guessed, a chord a bar or two: move, join, split or hold them.');
  const head = [
    `title: ${(sheet.title ?? 'New chart').trim().slice(0, MAX_TITLE)}`,
    ...(sheet.by ? [`by: ${sheet.by}`] : []),
    ...(names === 'german' ? ['names: german'] : []),
    ...(sheet.key && readKey(sheet.key).ok ? [`key: ${keyInNames(sheet.key, names)}`] : []),
    `tempo: ♩ = ${sheet.tempo !== undefined && sheet.tempo >= 20 && sheet.tempo <= 400 ? sheet.tempo : USUAL_TEMPO}`,
    `meter: ${meter}`,
    ...(sheet.capo !== undefined && sheet.capo > 0 && sheet.capo <= 12
      ? [`capo: ${sheet.capo}`]
      : []),
  ];
  const sections = written
    .slice(0, MAX_SECTIONS)
    .map(({ name, section }) => sectionText(name, inNamesOf(section, names), meter));
  const form = formOf(named, written);
  const order = form.length > 0 ? [['form:', ...form].join('\n')] : [];
  const text = `${[head.join('\n'), ...sections, ...order].join('\n\n')}\n`;
  return { text, guesses, sections, form };
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
  return sections.map((section, i) => {
    const plain = section.name
      .replace(/[[\]|,:=]/gu, ' ')
      .replace(/\s+/gu, ' ')
      .trim();
    const base = isName(plain) ? plain : `Part ${i + 1}`;
    const hasBars = section.lines.some((line) => line.bars.length > 0);
    if (!hasBars) return { name: base, section };
    let name = base;
    for (let n = 2; taken.has(name.toLowerCase()); n++)
      name = `${base.replace(/\s\d+$/u, '')} ${n}`;
    taken.add(name.toLowerCase());
    return { name, section };
  });
}

function formOf(sections: readonly Named[], written: readonly Named[]): readonly string[] {
  return sections.flatMap(({ name, section }) => {
    const known =
      written.find((other) => other.name.toLowerCase() === name.toLowerCase()) ??
      written.find((other) => other.name.toLowerCase().startsWith(`${name.toLowerCase()} `));
    return known ? [`${known.name}${section.times > 1 ? ` x${section.times}` : ''}`] : [];
  });
}

function sectionText(name: string, section: SheetSection, meter: string): string {
  const lines: string[] = [`[${name}]`];
  let stray: string[] = [];
  for (const line of section.lines) {
    if (line.bars.length === 0) {
      stray.push(line.words);
      continue;
    }
    lines.push(...stray.map((words) => `# ${words}`));
    stray = [];
    lines.push(...lineText(line, meter));
  }
  return [...lines, ...stray.map((words) => `# ${words}`)].join('\n');
}

/** A line of the sheet as lines of four bars, its words under them. */
function lineText(line: SheetLine, meter: string): string[] {
  const out: string[] = [];
  const repeats = line.times > 1 ? Math.min(32, line.times) : 1;
  for (let from = 0; from < line.bars.length; from += BARS_PER_LINE) {
    const bars = line.bars.slice(from, from + BARS_PER_LINE);
    const open = repeats > 1 && from === 0 ? '|:' : '|';
    const last = from + BARS_PER_LINE >= line.bars.length;
    const close = repeats > 1 && last ? `:|${repeats > 2 ? ` x${repeats}` : ''}` : '|';
    if (bars.some((bar) => bar.guessed)) out.push(`# ${GUESS_MARK}`);
    out.push(`${open} ${bars.map((bar) => barText(bar, meter)).join(' | ')} ${close}`);
    if (bars.some((bar) => bar.words !== '')) {
      out.push(`words: | ${bars.map((bar) => wordsText(bar.words)).join(' | ')} |`);
    }
  }
  return out;
}

/** Chords share their bar as evenly as its beats allow; what was written with beats stays. */
function barText({ chords }: DraftBar, meter: string): string {
  const [numerator = 4, unit = 4] = meter.split('/').map(Number);
  const beats = unit >= 8 && numerator % 3 === 0 ? numerator / 3 : numerator;
  if (chords.length === 1 && chords[0] !== '/') return chords[0]!;
  if (chords.length === beats || (chords.includes('/') && chords.length <= 1))
    return chords.join(' ');
  const symbols = chords.filter((sign) => sign !== '/' && sign !== '%');
  if (symbols.length === 0) return chords.includes('%') ? '%' : '/';
  if (symbols.length === 1) return symbols[0]!;
  const share = Math.max(1, Math.floor(beats / symbols.length));
  if (symbols.length > beats)
    return `(${symbols.slice(0, symbols.length - beats + 1).join(' ')}) ${symbols.slice(symbols.length - beats + 1).join(' ')}`.trim();
  return symbols
    .map((symbol, i) => {
      const length = i === symbols.length - 1 ? beats - share * (symbols.length - 1) : share;
      return [symbol, ...Array.from({ length: length - 1 }, () => '/')].join(' ');
    })
    .join(' ');
}

/** Hyphens between syllables stay; a sign that would mean something else is left out. */
const wordsText = (words: string): string =>
  words
    .replaceAll('|', ' ')
    .split(/\s+/u)
    .filter((word) => word === '' || isSyllable(word.replace(/^-+/u, '')) || /^-+$/u.test(word))
    .join(' ')
    .trim();
