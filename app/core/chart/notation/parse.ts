// Reads a chart typed in the program's own text form; every problem is reported with its line and column.
import { type Problem, type Result, type TextSpan, fail, ok } from '../../base/result.ts';
import { STANDARD } from '../../harmony/tunings.ts';
import { checkChart } from '../check.ts';
import { endingMeter, playSection } from '../form/form.ts';
import { MAX_PROBLEMS, MAX_SECTION_BARS, MAX_TEXT } from '../../model/limits.ts';
import { meterOf } from '../../rhythm/meter.ts';
import type {
  AlteredEnding,
  Bar,
  ChartBody,
  ChartShape,
  Feel,
  FormEntry,
  Meter,
  Section,
  Tempo,
  Tuning,
} from '../../model/chart.ts';
import type { Lead } from '../../model/lead.ts';
import { parsePartText } from '../../lead/part-text.ts';
import type { ChartPlace } from '../rules/place.ts';
import { parseStrum } from '../../rhythm/strum.ts';
import { type BuiltBar, buildBar } from './bar-build.ts';
import { splitBars } from './bar-lines.ts';
import { parseCapo, parseFeel, parseMeter, parseShape, parseTempo, parseTuning } from './fields.ts';
import {
  type ChartLines,
  type EntryLine,
  type LineBlock,
  type SectionLines,
  type Value,
  sortLines,
  spanOf,
} from './lines.ts';
import { usualTimes } from './print.ts';

/** The chart, or all problems in the order of the text. Never throws, whatever was typed. */
export function parseChart(text: string): Result<ChartBody> {
  if (text.length > MAX_TEXT) {
    const message = `the text has ${text.length} characters; a chart has at most ${MAX_TEXT}`;
    return fail({ code: 'text-long', message, cure: 'Cut it into several charts.' });
  }
  return new ChartReader(sortLines(text)).read();
}

const COMMON_TIME = meterOf(4, 4);
/** Stands in for an unreadable tempo, so that the rest can be checked; the chart is refused anyway. */
const ANY_TEMPO: Tempo = { bpm: 100, beat: 'quarter' };

interface BuiltSection {
  readonly section: Section;
  readonly bars: readonly BuiltBar[];
}

interface BuiltEntry {
  readonly entry: FormEntry;
  readonly bars: readonly BuiltBar[];
}

class ChartReader {
  private readonly lines: ChartLines;
  private readonly problems: Problem[];

  constructor(lines: ChartLines) {
    this.lines = lines;
    this.problems = [...lines.problems];
  }

  read(): Result<ChartBody> {
    const head = this.readHead();
    const sections = this.lines.sections.map((lines) => this.readSection(lines, head.meter));
    const chart: ChartBody = { ...head, sections: sections.map((s) => s.section), form: [] };
    const entries = this.readForm(chart);
    const whole = { ...chart, form: entries.map((e) => e.entry) };
    const typed = this.problems.length;
    for (const { place, ...problem } of checkChart(whole)) {
      const span = this.spanOf(place, sections, entries);
      if (typed === 0 || !this.isKnown(span)) this.problems.push({ ...problem, span });
    }
    if (this.problems.length === 0) return ok(whole);
    return fail(...firstOf(this.problems.toSorted(byPlace)));
  }

  /** A line that could not be read is not blamed again for what stands in for it. */
  private isKnown(span: TextSpan): boolean {
    return this.problems.some(
      (problem) => problem.span?.line === span.line && overlaps(problem.span, span),
    );
  }

  private readHead(): Omit<ChartBody, 'sections' | 'form'> {
    const { title, key, tempo, meter, feel, capo, tuning } = this.lines.head;
    const meterRead = this.value(meter, parseMeter) ?? COMMON_TIME;
    if (!tempo) {
      const message = 'the chart has no tempo';
      this.problem('tempo-missing', message, 'Write e.g. tempo: ♩ = 96 under the title.', title);
    }
    return {
      title: title?.text ?? '',
      tempo: this.value(tempo, (text) => parseTempo(text, meterRead)) ?? ANY_TEMPO,
      meter: meterRead,
      feel: this.value<Feel>(feel, parseFeel) ?? { kind: 'straight' },
      ...(key && { key: key.text }),
      capo: this.value(capo, parseCapo) ?? 0,
      tuning: this.value<Tuning>(tuning, parseTuning) ?? STANDARD,
      shapes: this.readShapes(),
    };
  }

  private readShapes(): ChartShape[] {
    return this.lines.shapes.flatMap((value) => {
      const shape = this.value(value, parseShape);
      return shape ? [shape] : [];
    });
  }

  private readSection(lines: SectionLines, chartMeter: Meter): BuiltSection {
    const { tempo, meter, feel, strum } = lines.values;
    const ownMeter = this.value(meter, parseMeter);
    const startMeter = ownMeter ?? chartMeter;
    const ownTempo = this.value(tempo, (text) => parseTempo(text, startMeter));
    const ownFeel = this.value(feel, parseFeel);
    const ownStrum = this.value(strum, parseStrum);
    const bars = this.readBars(lines.bars, startMeter, lines.name.text, 1);
    const section: Section = {
      name: lines.name.text,
      ...(ownTempo && { tempo: ownTempo }),
      ...(ownMeter && { meter: ownMeter }),
      ...(ownFeel && { feel: ownFeel }),
      ...(ownStrum && { strum: ownStrum }),
      bars: withEndingTimes(bars),
      ...(lines.lines.length > 0 && { leads: this.readLeads(lines.lines) }),
    };
    return { section, bars };
  }

  private readLeads(blocks: readonly LineBlock[]): Lead[] {
    return blocks.map(({ head, parts }) => {
      const [, name = head.text, bar = '1'] =
        /^(.*?)\s*,\s*bar\s+(\d{1,4})$/iu.exec(head.text) ?? [];
      if (name === head.text || parts.length === 0) {
        const cure =
          'Write e.g. “line: Hook, bar 3”, and under it “part Guitar 1: | 8 3/7 p5 … |”.';
        this.problem(
          'line-head',
          `the lead line ‘${name}’ lacks its first bar or its parts`,
          cure,
          head,
        );
      }
      const read = parts.flatMap((part) => {
        const found = this.value(part.text, (text) => parsePartText(part.name.text, text));
        return found ? [found] : [];
      });
      return { name, bar: Number(bar), parts: read };
    });
  }

  private readBars(
    lines: readonly Value[],
    start: Meter,
    section: string,
    from: number,
  ): BuiltBar[] {
    let meter = start;
    const typed = splitBars(lines);
    return typed.slice(0, MAX_SECTION_BARS + 1).map((bar, i) => {
      const built = buildBar(bar, meter, `bar ${from + i} of ‘${section}’`);
      meter = built.meter;
      this.problems.push(...built.problems);
      return built;
    });
  }

  /** Without a form every section is played once, in the order of the text. */
  private readForm(chart: ChartBody): BuiltEntry[] {
    const { at, entries } = this.lines.form;
    if (at) return entries.map((line) => this.readEntry(line, chart));
    return chart.sections.map(({ name }) => ({ entry: { section: name, times: 1 }, bars: [] }));
  }

  private readEntry(line: EntryLine, chart: ChartBody): BuiltEntry {
    const pattern = line.bars
      ? /^(.*?)(?:\s+[x×]\s*(\d{1,6}))?(?:\s+(ending|added))?$/u
      : /^(.*?)(?:\s+[x×]\s*(\d{1,6}))?$/u;
    const [, name = '', times = '1', word] = pattern.exec(line.head.text) ?? [];
    const entry: FormEntry = { section: name, times: Number(times) };
    if (!line.bars) return { entry, bars: [] };
    if (!word) {
      const cure = 'Write “ending” (replaces the last bars) or “added” before them.';
      this.problem(
        'ending-word',
        `the form does not say what the bars after ‘${name}’ do`,
        cure,
        line.bars,
      );
    }
    return this.readEnding(line.bars, entry, word === 'added' ? 'add' : 'replace', chart);
  }

  private readEnding(
    typed: Value,
    entry: FormEntry,
    kind: AlteredEnding['kind'],
    chart: ChartBody,
  ): BuiltEntry {
    const section = chart.sections.find((s) => s.name === entry.section);
    const played = section && playSection(chart, section);
    const count = splitBars([typed]).length;
    const bars = Array.from({ length: count }, (): Bar => ({ content: { kind: 'simile' } }));
    const meter = played?.ok ? endingMeter(played.value, { kind, bars }) : chart.meter;
    const built = this.readBars([typed], meter, entry.section, (section?.bars.length ?? 0) + 1);
    return { entry: { ...entry, ending: { kind, bars: built.map((b) => b.bar) } }, bars: built };
  }

  private value<T>(value: Value | undefined, parse: (text: string) => Result<T>): T | undefined {
    if (!value) return undefined;
    const result = parse(value.text);
    if (result.ok) return result.value;
    const span = spanOf(value);
    this.problems.push(...result.problems.map((problem) => ({ ...problem, span })));
    return undefined;
  }

  private problem(code: string, message: string, cure: string, at: Value | undefined): void {
    const span = at ? spanOf(at) : START;
    this.problems.push({ code, message, cure, span });
  }

  private spanOf(
    place: ChartPlace,
    sections: readonly BuiltSection[],
    entries: readonly BuiltEntry[],
  ): TextSpan {
    const { section, form, bar, chord, field, shape, line, part } = place;
    const bars = section !== undefined ? sections[section]?.bars : entries[form ?? -1]?.bars;
    const built = bar === undefined ? undefined : bars?.[bar];
    if (built) return (chord === undefined ? undefined : built.chordSpans[chord]) ?? built.span;
    const block = line === undefined ? undefined : this.lines.sections[section ?? -1]?.lines[line];
    const value = block
      ? ((part === undefined ? undefined : block.parts[part]?.text) ?? block.head)
      : this.valueAt(section, form, field, shape);
    return value ? spanOf(value) : START;
  }

  private valueAt(
    section: number | undefined,
    form: number | undefined,
    field: ChartPlace['field'],
    shape: number | undefined,
  ): Value | undefined {
    const { head, sections, shapes, form: formLines } = this.lines;
    if (shape !== undefined) return shapes[shape];
    if (section !== undefined) {
      const lines = sections[section];
      const values: Partial<Record<string, Value>> = lines?.values ?? {};
      return (field && values[field]) ?? lines?.name;
    }
    if (form !== undefined) return formLines.entries[form]?.head ?? formLines.at;
    if (field === 'form') return formLines.at;
    return field && field !== 'strum' ? head[field] : undefined;
  }
}

/** A text that is no chart at all has a problem in every line: the first ones, and how many follow. */
function firstOf(problems: readonly Problem[]): readonly Problem[] {
  if (problems.length <= MAX_PROBLEMS) return problems;
  const message = `${problems.length - MAX_PROBLEMS} more problems follow`;
  const more: Problem = {
    code: 'problems-more',
    message,
    cure: 'Mend the first ones, then look again.',
  };
  return [
    ...problems.slice(0, MAX_PROBLEMS),
    { ...more, span: problems[MAX_PROBLEMS]!.span ?? START },
  ];
}

const START: TextSpan = { line: 1, column: 1, length: 1 };

const overlaps = (a: TextSpan, b: TextSpan): boolean =>
  a.column < b.column + b.length && b.column < a.column + a.length;

const byPlace = (a: Problem, b: Problem): number =>
  (a.span?.line ?? 0) - (b.span?.line ?? 0) || (a.span?.column ?? 0) - (b.span?.column ?? 0);

/** A repeat sign that closes an ending is played as often as the endings make, unless a number says otherwise. */
function withEndingTimes(built: readonly BuiltBar[]): Bar[] {
  const bars = built.map(({ bar }) => bar);
  return built.map(({ bar, timesTyped }, i) =>
    bar.repeatEnd === undefined || timesTyped ? bar : { ...bar, repeatEnd: usualTimes(bars, i) },
  );
}
