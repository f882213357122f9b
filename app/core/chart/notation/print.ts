// Prints a chart in the program's own text form; `parse.ts` reads it back to exactly the same chart.
import { printFrets } from '../../fretboard/frets.ts';
import { printMeter, printTempo } from '../../rhythm/meter.ts';
import type { Bar, ChartBody, ChordAt, FormEntry, Meter, Section } from '../../model/chart.ts';
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
    ...(strum ? [`strum: ${printStrum(strum, meter ?? chart.meter)}`] : []),
    ...printLines(section.bars, meter ?? chart.meter),
    ...(section.leads ?? []).flatMap(printLead),
  ].join('\n');
}

const printLead = ({ name, bar, parts }: Lead): string[] => [
  `line: ${name}, bar ${bar}`,
  ...parts.map((part) => `part ${part.name}: ${printPartText(part)}`),
];

/** Four bars on a line, a pickup before the first four. */
function printLines(bars: readonly Bar[], start: Meter): string[] {
  const printed = printBars(bars, start);
  const lines: string[] = [];
  for (
    let from = 0, to = bars[0]?.pickup ? BARS_PER_LINE + 1 : BARS_PER_LINE;
    from < bars.length;
  ) {
    lines.push(joinBars(printed.slice(from, to)));
    from = to;
    to += BARS_PER_LINE;
  }
  return lines;
}

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
  let line = '';
  let close = '';
  for (const bar of bars) {
    const shared = close === ':|' && !bar.open.startsWith('|:') ? `:${bar.open}` : undefined;
    const separate = close === '' || close === '|' ? bar.open : `${close} ${bar.open}`;
    line += `${shared ?? separate} ${bar.text} `;
    close = bar.close;
  }
  return line + close;
}

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

export function printBar(bar: Bar, meter: Meter): string {
  const fraction = bar.pickup && pickupFraction(bar.pickup);
  return [
    ...(bar.meter ? [printMeter(bar.meter).replace(' ', '')] : []),
    ...(fraction ? [`pickup ${fraction.numerator}/${fraction.unit}`] : []),
    printContent(bar, meter),
    ...(bar.strum ? [`{${printStrum(bar.strum, meter)}}`] : []),
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
