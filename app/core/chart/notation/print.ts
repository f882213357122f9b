// Prints a chart in the program's own text form; `parse.ts` reads it back to exactly the same chart.
import { listed } from '../../base/listed.ts';
import { printMeter, printTempo } from '../../rhythm/meter.ts';
import type {
  Bar,
  Borrowed,
  ChartBody,
  ChordAt,
  Fermata,
  FormEntry,
  Meter,
  Section,
} from '../../model/chart.ts';
import { equals } from '../../base/rational.ts';
import { barNumber } from '../form/bar-number.ts';
import { type BorrowedHead, borrowedBars, borrowedHead, isAsBorrowed } from '../form/borrowed.ts';
import { printBarWords } from './words.ts';
import {
  type Slot,
  chordsInSlot,
  partOfSlot,
  pickupFraction,
  slotsOf,
  splitOf,
} from '../../rhythm/slots.ts';
import { endingMeter, findSection, playSection } from '../form/form.ts';
import { STANDARD } from '../../harmony/tunings.ts';
import type { Lead } from '../../model/lead.ts';
import { printPartText } from '../../lead/part-text.ts';
import { printStrum } from '../../rhythm/strum.ts';
import { bandBeside, printBand } from './band.ts';
import { printFeel, printPin, printShape, printTuning } from './fields.ts';
import { asTyped } from './note-names.ts';
import { paceWords } from '../pace-words.ts';

const BARS_PER_LINE = 4;

/** The chart must hold (see `check.ts`); one that does not still prints, but may not read back. */
export function printChart(named: ChartBody): string {
  const chart = asTyped(named);
  const sections = chart.sections.map((section) => printSection(section, chart));
  const form = [
    ...commentsBefore('form', chart),
    'form:',
    ...chart.form.flatMap((entry) => printEntry(entry, chart)),
    ...commentsBefore('end', chart),
  ].join('\n');
  return `${[printHead(chart), ...sections, form].join('\n\n')}\n`;
}

/** A line at the head and the name that comments know it by. */
interface HeadLine {
  readonly name: string;
  readonly text: string;
}

/** The lines that a head is printed in, its symbols as typed; comments stand above one of them, or after the last. */
export function headLines(chart: ChartBody): readonly HeadLine[] {
  const { title, by, names, key, tempo, meter, feel, capo, tuning, shapes, fields, band } = chart;
  const standard =
    tuning.name === STANDARD.name && tuning.strings.join() === STANDARD.strings.join();
  const line = (name: string, value: string): HeadLine => ({ name, text: `${name}: ${value}` });
  return [
    line('title', title),
    ...(by === undefined ? [] : [line('by', by)]),
    ...(names === undefined ? [] : [line('names', names)]),
    ...(key === undefined ? [] : [line('key', key)]),
    line('tempo', printTempo(tempo)),
    line('meter', printMeter(meter)),
    ...(feel.kind === 'straight' ? [] : [line('feel', printFeel(feel))]),
    ...(capo === 0 ? [] : [line('capo', String(capo))]),
    ...(standard ? [] : [line('tuning', printTuning(tuning, names))]),
    ...printBand(band).map(([name, word]) => line(name, word)),
    ...(fields ?? []).map(({ name, value }) => line(name, value)),
    ...shapes.map((shape) => ({ name: `shape ${shape.symbol}`, text: printShape(shape) })),
  ];
}

const printComment = (text: string): string => `# ${text}`.trimEnd();

const commentsBefore = (name: string, { comments }: ChartBody): string[] =>
  (comments ?? []).filter(({ before }) => before === name).map(({ text }) => printComment(text));

function printHead(chart: ChartBody): string {
  const lines = headLines(chart);
  const known = new Set(['form', 'end', ...lines.map(({ name }) => name)]);
  const seen = new Set<string>();
  const printed = lines.flatMap(({ name, text }) => {
    const first = !seen.has(name);
    seen.add(name);
    return [...(first ? commentsBefore(name, chart) : []), text];
  });
  const rest = (chart.comments ?? []).filter(({ before }) => !known.has(before));
  return [...printed, ...rest.map(({ text }) => printComment(text))].join('\n');
}

function printSection(section: Section, chart: ChartBody): string {
  const { name, like, comments, remarks } = section;
  const source = like && chart.sections.find((other) => other.name === like.section);
  const meter = section.meter ?? chart.meter;
  const own = source ? ownHead(section, borrowedHead(source)) : section;
  return [
    ...(comments ?? []).map(printComment),
    `[${name}]`,
    ...(like ? [`like: ${printBorrowed(like, source)}`] : []),
    ...(own.tempo ? [`tempo: ${printTempo(own.tempo)}`] : []),
    ...(own.meter ? [`meter: ${printMeter(own.meter)}`] : []),
    ...(own.feel ? [`feel: ${printFeel(own.feel)}`] : []),
    ...(own.strum ? [`strum: ${printStrum(own.strum, meter)}`] : []),
    ...printBand(own.band).map(([name, word]) => `${name}: ${word}`),
    ...(remarks ?? []).map((remark) => `remark: ${remark}`),
    ...(source && like
      ? printBorrowing(section, borrowedBars(source, like, chart.meter, meter), meter)
      : printLines(section.bars, meter)),
    ...(section.leads ?? []).flatMap((lead) => printLead(lead, section)),
  ].join('\n');
}

/** What of a section's head is not as it was taken over. */
function ownHead(section: Section, borrowed: BorrowedHead): BorrowedHead {
  const differs = (key: keyof BorrowedHead): boolean =>
    JSON.stringify(section[key]) !== JSON.stringify(borrowed[key]);
  return {
    ...(differs('tempo') && { tempo: section.tempo! }),
    ...(differs('meter') && { meter: section.meter! }),
    ...(differs('feel') && { feel: section.feel! }),
    ...(differs('strum') && { strum: section.strum! }),
    ...(differs('band') && { band: bandBeside(section.band, borrowed.band) }),
  };
}

function printBorrowed({ section, from, to }: Borrowed, source: Section | undefined): string {
  if (from === undefined || to === undefined || !source) return section;
  const first = barNumber(source.bars, from - 1);
  const last = barNumber(source.bars, to - 1);
  return `${section}, ${first === last ? `bar ${first}` : `bars ${first}–${last}`}`;
}

/** What differs from the bars taken over, then their words, then the bars that follow them. */
function printBorrowing(section: Section, borrowed: readonly Bar[], start: Meter): string[] {
  const { bars } = section;
  const printed = printBars(bars, start);
  const changes: string[] = [];
  const changed = (i: number): boolean =>
    i < borrowed.length && i < bars.length && !isAsBorrowed(bars[i]!, borrowed[i]!);
  for (let from = 0; from < borrowed.length; from++) {
    if (!changed(from)) continue;
    let to = from + 1;
    while (changed(to)) to++;
    changes.push(`bar ${barNumber(bars, from)}: ${joinBars(printed.slice(from, to))}`);
    from = to;
  }
  const own = bars.slice(0, borrowed.length);
  const rows: string[] = [];
  for (let from = 0; from < own.length; from += BARS_PER_LINE) {
    rows.push(...printWords(bars, start, from, Math.min(own.length, from + BARS_PER_LINE)));
  }
  return [...changes, ...rows, ...printLines(bars, start, borrowed.length)];
}

const printLead = ({ name, bar, again, parts }: Lead, { bars }: Section): string[] => [
  `line: ${name}, ${printStarts([bar, ...(again ?? [])].map((at) => barNumber(bars, at - 1)))}`,
  ...parts.map((part) => `part ${part.name}: ${printPartText(part)}`),
];

/** "bar 3", "bars 1 and 3", "bars 1, 3 and 5"; a pickup is bar 0. */
const printStarts = (numbers: readonly number[]): string =>
  `${numbers.length === 1 ? 'bar' : 'bars'} ${listed(numbers)}`;

/** Four bars on a line, a pickup before the first four; a bar with comments starts a line. Words stand under it. */
function printLines(bars: readonly Bar[], start: Meter, first = 0): string[] {
  const printed = printBars(bars, start);
  const lines: string[] = [];
  for (let from = first; from < bars.length;) {
    const most = from + BARS_PER_LINE + (from === 0 && bars[0]?.pickup ? 1 : 0);
    const comment = bars.findIndex((bar, i) => i > from && bar.comments);
    const to = Math.min(most, comment < 0 ? most : comment, bars.length);
    lines.push(...(bars[from]!.comments ?? []).map(printComment));
    const words = printWords(bars, start, from, to);
    lines.push(
      ...(words.length > 0
        ? alignBars(printed.slice(from, to), words)
        : [joinBars(printed.slice(from, to))]),
    );
    from = to;
  }
  return lines;
}

/** One line for each verse that has words in these bars. */
function printWords(bars: readonly Bar[], start: Meter, from: number, to: number): string[] {
  const rows = bars.slice(from, to);
  const verses = Math.max(0, ...rows.map((bar) => bar.words?.length ?? 0));
  const meters = metersOf(bars, start);
  return Array.from({ length: verses }, (_, verse) => verse)
    .filter((verse) => rows.some((bar) => (bar.words?.[verse]?.length ?? 0) > 0))
    .map((verse) => {
      const texts = rows.map((bar, i) =>
        printBarWords(bar.words?.[verse] ?? [], meters[from + i]!, bar.pickup),
      );
      return `words${verse === 0 ? '' : ` ${verse + 1}`}: | ${texts.join(' | ')} |`;
    });
}

const metersOf = (bars: readonly Bar[], start: Meter): Meter[] => {
  let meter = start;
  return bars.map((bar) => (meter = bar.meter ?? meter));
};

interface PrintedBar {
  /** Starts a repeat or an ending: "|:", "|1.", else "|". */
  readonly open: string;
  readonly text: string;
  /** Ends a repeat: ":|", ":| x3", else "|". */
  readonly close: string;
}

function printBars(bars: readonly Bar[], start: Meter): PrintedBar[] {
  let meter = start;
  return bars.map((bar, i) => {
    meter = bar.meter ?? meter;
    const endings = bar.endings ? `${bar.endings.join(',')}.` : '';
    return {
      open: `${bar.repeatStart ? '|:' : '|'}${endings}`,
      text: printBar(bar, meter),
      close: closing(bar, bars, i),
    };
  });
}

/** Neighbours share a bar line, ":|2."; where both have signs of their own, each keeps its own. */
function joinBars(bars: readonly PrintedBar[]): string {
  const lines = barLinesOf(bars);
  return bars.map((bar, i) => `${lines[i]} ${bar.text} `).join('') + lines.at(-1);
}

/** The bar line before each bar, and the one after the last. */
function barLinesOf(bars: readonly PrintedBar[]): string[] {
  let close = '';
  const lines = bars.map((bar) => {
    const shared = close === ':|' && !bar.open.startsWith('|:') ? `:${bar.open}` : undefined;
    const separate = close === '' || close === '|' ? bar.open : `${close} ${bar.open}`;
    close = bar.close;
    return shared ?? separate;
  });
  return [...lines, close];
}

/** Bars above their words, each bar as wide as the widest of both, so that an eye finds what is sung where. */
function alignBars(bars: readonly PrintedBar[], words: readonly string[]): string[] {
  const lines = barLinesOf(bars);
  const rows = words.map((line) => {
    const at = line.indexOf('|');
    return { head: line.slice(0, at), cells: line.slice(at + 2, -2).split(' | ') };
  });
  const head = Math.max(...rows.map((row) => row.head.length));
  const widths = bars.map((bar, i) =>
    Math.max(widthOf(bar.text), ...rows.map((row) => widthOf(row.cells[i] ?? ''))),
  );
  const pad = (text: string, width: number): string =>
    text + ' '.repeat(Math.max(0, width - widthOf(text)));
  const last = lines.at(-1)!;
  const chords = bars.map((bar, i) => `${lines[i]} ${pad(bar.text, widths[i]!)} `).join('') + last;
  return [
    `${' '.repeat(head)}${chords}`,
    ...rows.map(
      (row) =>
        `${row.head.padEnd(head)}${row.cells.map((cell, i) => `${'|'.padEnd(lines[i]!.length)} ${pad(cell, widths[i]!)} `).join('')}|`,
    ),
  ];
}

const widthOf = (text: string): number => [...text].length;

function closing(bar: Bar, bars: readonly Bar[], index: number): string {
  if (bar.repeatEnd === undefined) return '|';
  return bar.repeatEnd === usualTimes(bars, index) ? ':|' : `:| x${bar.repeatEnd}`;
}

/** Times of a repeat that need not be written: twice, or as often as its endings say. */
export function usualTimes(bars: readonly Bar[], index: number): number {
  const from = bars.slice(0, index + 1).findLastIndex((bar) => bar.repeatStart || bar.endings);
  if (from < 0 || !bars[from]!.endings) return 2;
  const next = bars.findIndex((bar, i) => i > index && bar.repeatStart);
  const first = bars.slice(0, from + 1).findLastIndex((bar) => bar.repeatStart);
  const group = bars.slice(Math.max(0, first), next < 0 ? undefined : next);
  // No spread: a hostile text may name more endings than a call takes arguments.
  return group.flatMap((bar) => bar.endings ?? []).reduce((most, time) => Math.max(most, time), 0);
}

/** One bar as typed, without its bar lines. @param meter in force there */
function printBar(bar: Bar, meter: Meter): string {
  const fraction = bar.pickup && pickupFraction(bar.pickup);
  return [
    ...(bar.meter ? [printMeter(bar.meter).replace(' ', '')] : []),
    ...(fraction ? [`pickup ${fraction.numerator}/${fraction.unit}`] : []),
    ...(bar.pace ? [paceWords(bar.pace)] : []),
    ...(bar.remark === undefined ? [] : [`"${bar.remark}"`]),
    printContent(bar, meter),
    ...(bar.strum ? [`{${printStrum(bar.strum, meter)}}`] : []),
  ].join(' ');
}

const printFermata = ({ extra }: Fermata): string =>
  extra === 1 ? 'fermata' : `fermata +${extra}`;

function printContent({ content, pickup, fermata }: Bar, meter: Meter): string {
  const slots = slotsOf(meter, pickup);
  const atEnd = fermata && equals(fermata.at, slots.at(-1)!.at);
  const held = atEnd ? ` ${printFermata(fermata)}` : '';
  if (content.kind === 'simile') return `%${held}`;
  const { chords } = content;
  if (chords.length === 1 && chords[0]!.at.n === 0 && (!fermata || atEnd)) {
    return `${printChord(chords[0]!)}${held}`;
  }
  return slots
    .map((slot) => {
      const hold = fermata && equals(fermata.at, slot.at) ? ` ${printFermata(fermata)}` : '';
      return `${printSlot(chordsInSlot(chords, slot), slot)}${hold}`;
    })
    .join(' ');
}

function printSlot(chords: readonly ChordAt[], slot: Slot): string {
  if (chords.length === 0) return '/';
  const parts = splitOf(chords, slot) ?? 1;
  if (parts === 1) return printChord(chords[0]!);
  const signs = Array.from({ length: parts }, (_, part) => {
    const chord = chords.find((c) => partOfSlot(c, slot, parts) === part);
    return chord ? printChord(chord) : '/';
  });
  return `(${signs.join(' ')})`;
}

const printChord = ({ symbol, shape, kept, slide, remark }: ChordAt): string =>
  `${slide ? '~' : ''}${symbol}${shape ? `[${printPin({ frets: shape, ...(kept && { kept }) })}]` : ''}${remark === undefined ? '' : `"${remark}"`}`;

function printEntry({ section, times, ending, comments }: FormEntry, chart: ChartBody): string[] {
  const head = times === 1 ? section : `${section} x${times}`;
  const above = (comments ?? []).map(printComment);
  if (!ending) return [...above, head];
  const written = findSection(chart, section);
  const played = written && playSection(chart, written);
  const meter = played?.ok ? endingMeter(played.value, ending) : chart.meter;
  const word = ending.kind === 'replace' ? 'ending' : 'added';
  const bars = printBarsOnOneLine(ending.bars, meter);
  const words = printWords(ending.bars, meter, 0, ending.bars.length);
  return [...above, `${head} ${word} | ${bars} |`, ...words];
}

function printBarsOnOneLine(bars: readonly Bar[], start: Meter): string {
  let meter = start;
  return bars
    .map((bar) => {
      meter = bar.meter ?? meter;
      return printBar(bar, meter);
    })
    .join(' | ');
}
