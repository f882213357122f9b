// Prints a chart in the program's own text form; `parse.ts` reads it back to exactly the same chart.
import { printFrets } from '../frets.ts';
import { printMeter, printTempo } from '../meter.ts';
import type { Bar, ChartBody, ChordAt, FormEntry, Meter, Section } from '../model.ts';
import { type Slot, chordsInSlot, partOfSlot, pickupFraction, slotsOf, splitOf } from '../slots.ts';
import { endingMeter, findSection, playSection } from '../form.ts';
import { STANDARD } from '../../fretboard/tunings.ts';
import { printStrum } from '../strum.ts';
import { printFeel, printShape, printTuning } from './fields.ts';

const BARS_PER_LINE = 4;

/** The chart must hold (see `check.ts`); one that does not still prints, but may not read back. */
export function printChart(chart: ChartBody): string {
  const sections = chart.sections.map((section) => printSection(section, chart));
  const form = ['form:', ...chart.form.map((entry) => printEntry(entry, chart))].join('\n');
  return `${[printHead(chart), ...sections, form].join('\n\n')}\n`;
}

function printHead(chart: ChartBody): string {
  const { title, key, tempo, meter, feel, capo, tuning, shapes } = chart;
  const standard =
    tuning.name === STANDARD.name && tuning.strings.join() === STANDARD.strings.join();
  return [
    `title: ${title}`,
    ...(key === undefined ? [] : [`key: ${key}`]),
    `tempo: ${printTempo(tempo)}`,
    `meter: ${printMeter(meter)}`,
    ...(feel.kind === 'straight' ? [] : [`feel: ${printFeel(feel)}`]),
    ...(capo === 0 ? [] : [`capo: ${capo}`]),
    ...(standard ? [] : [`tuning: ${printTuning(tuning)}`]),
    ...shapes.map(printShape),
  ].join('\n');
}

function printSection(section: Section, chart: ChartBody): string {
  const { name, tempo, meter, feel, strum } = section;
  return [
    `[${name}]`,
    ...(tempo ? [`tempo: ${printTempo(tempo)}`] : []),
    ...(meter ? [`meter: ${printMeter(meter)}`] : []),
    ...(feel ? [`feel: ${printFeel(feel)}`] : []),
    ...(strum ? [`strum: ${printStrum(strum)}`] : []),
    ...printLines(section.bars, meter ?? chart.meter),
  ].join('\n');
}

/** Four bars on a line; an ending or a repeat never stands apart from its bar. */
function printLines(bars: readonly Bar[], start: Meter): string[] {
  const printed = printBars(bars, start);
  const lines: string[] = [];
  for (let i = 0; i < printed.length; i += BARS_PER_LINE) {
    const line = printed.slice(i, i + BARS_PER_LINE);
    lines.push(`${line.map(({ open, text }) => `${open} ${text} `).join('')}${closeOf(line)}`);
  }
  return lines;
}

interface PrintedBar {
  /** The bar line before it, with the repeat that the bar before ends. */
  readonly open: string;
  readonly text: string;
  readonly close: string;
}

const closeOf = (line: readonly PrintedBar[]): string => line.at(-1)!.close;

function printBars(bars: readonly Bar[], start: Meter): PrintedBar[] {
  let meter = start;
  return bars.map((bar, i) => {
    meter = bar.meter ?? meter;
    const before = i % BARS_PER_LINE === 0 ? undefined : bars[i - 1];
    const ended = before && before.repeatEnd !== undefined ? closing(before, bars, i - 1) : '|';
    const again = bar.repeatStart ? (ended === '|' ? '|:' : `${ended} |:`) : ended;
    const numbered = bar.endings ? withEndings(again, bar.endings) : again;
    return { open: numbered, text: printBar(bar, meter), close: closing(bar, bars, i) };
  });
}

/** "x3 1." needs a bar line of its own between the two numbers. */
const withEndings = (open: string, endings: readonly number[]): string =>
  `${/\d$/.test(open) ? `${open} |` : open}${endings.join(',')}.`;

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
  return Math.max(...group.flatMap((bar) => bar.endings ?? []));
}

export function printBar(bar: Bar, meter: Meter): string {
  const fraction = bar.pickup && pickupFraction(bar.pickup);
  return [
    ...(bar.meter ? [printMeter(bar.meter).replace(' ', '')] : []),
    ...(fraction ? [`pickup ${fraction.numerator}/${fraction.unit}`] : []),
    printContent(bar, meter),
    ...(bar.strum ? [`{${printStrum(bar.strum)}}`] : []),
  ].join(' ');
}

function printContent({ content, pickup }: Bar, meter: Meter): string {
  if (content.kind === 'simile') return '%';
  const { chords } = content;
  if (chords.length === 1 && chords[0]!.at.n === 0) return printChord(chords[0]!);
  return slotsOf(meter, pickup)
    .map((slot) => printSlot(chordsInSlot(chords, slot), slot))
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

const printChord = ({ symbol, shape }: ChordAt): string =>
  shape ? `${symbol}[${printFrets(shape)}]` : symbol;

function printEntry({ section, times, ending }: FormEntry, chart: ChartBody): string {
  const head = times === 1 ? section : `${section} x${times}`;
  if (!ending) return head;
  const written = findSection(chart, section);
  const played = written && playSection(chart, written);
  const meter = played?.ok ? endingMeter(played.value, ending) : chart.meter;
  const word = ending.kind === 'replace' ? 'ending' : 'added';
  const bars = printBarsOnOneLine(ending.bars, meter);
  return `${head} ${word} | ${bars} |`;
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
