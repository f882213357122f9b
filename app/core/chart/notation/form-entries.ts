// Reads the typed form of a chart: its entries, with their altered endings.
import { MAX_FORM_ENTRIES } from '../../model/limits.ts';
import type { AlteredEnding, Bar, ChartBody, FormEntry, Section } from '../../model/chart.ts';
import { unnumbered } from '../form/bar-number.ts';
import { endingMeter, playSection } from '../form/form.ts';
import type { BuiltBar } from './bar-build.ts';
import { splitBars } from './bar-lines.ts';
import { readBars } from './bars.ts';
import type { Findings } from './findings.ts';
import { layWords } from './lay-words.ts';
import type { ChartLines, EntryLine, Value } from './lines.ts';

export interface BuiltEntry {
  readonly entry: FormEntry;
  /** Those of its altered ending. */
  readonly bars: readonly BuiltBar[];
}

/** Without a form every section is played once, in the order of the text. */
export function readForm(
  { form: { at, entries } }: ChartLines,
  chart: ChartBody,
  found: Findings,
): readonly BuiltEntry[] {
  if (!at)
    return chart.sections.map(({ name }) => ({ entry: { section: name, times: 1 }, bars: [] }));
  const reader = new FormReader(chart, found);
  return entries.slice(0, MAX_FORM_ENTRIES + 1).map((line) => reader.read(line));
}

class FormReader {
  private readonly chart: ChartBody;
  private readonly found: Findings;
  /** Sections are unrolled once for all endings: a hostile text has many of both. */
  private readonly unrolled = new Map<Section, ReturnType<typeof playSection>>();

  constructor(chart: ChartBody, found: Findings) {
    this.chart = chart;
    this.found = found;
  }

  read(line: EntryLine): BuiltEntry {
    const pattern = line.bars
      ? /^(.*?)(?:\s+[x×]\s*(\d{1,6}))?(?:\s+(ending|added))?$/u
      : /^(.*?)(?:\s+[x×]\s*(\d{1,6}))?$/u;
    const [, name = '', times = '1', word] = pattern.exec(line.head.text) ?? [];
    const { comments } = line;
    const entry: FormEntry = {
      section: name,
      times: Number(times),
      ...(comments.length > 0 && { comments }),
    };
    if (!line.bars) return { entry, bars: [] };
    if (!word) {
      const message = `the form does not say what the bars after ‘${name}’ do`;
      const cure = 'Write “ending” (replaces the last bars) or “added” before them.';
      this.found.sayAt(line.bars, 'ending-word', message, cure);
    }
    const kind = word === 'added' ? 'add' : 'replace';
    const bars = this.readEnding(line, line.bars, name, kind);
    return { entry: { ...entry, ending: { kind, bars: bars.map((built) => built.bar) } }, bars };
  }

  private readEnding(
    line: EntryLine,
    typed: Value,
    name: string,
    kind: AlteredEnding['kind'],
  ): readonly BuiltBar[] {
    const section = this.chart.sections.find((s) => s.name === name);
    const played = section && this.played(section);
    const count = splitBars([typed]).length;
    const bars = Array.from({ length: count }, (): Bar => ({ content: { kind: 'simile' } }));
    const place = {
      section: name,
      meter: played?.ok ? endingMeter(played.value, { kind, bars }) : this.chart.meter,
      from: (section?.bars.length ?? 0) + 1,
      skip: unnumbered(section?.bars ?? []),
    };
    const read = readBars([typed], place, this.found);
    const rows = { lines: [read.map((_, i) => i)], loose: [] };
    return layWords(read, line.words, rows, this.found.say);
  }

  private played(section: Section): ReturnType<typeof playSection> {
    const known = this.unrolled.get(section) ?? playSection(this.chart, section);
    this.unrolled.set(section, known);
    return known;
  }
}
