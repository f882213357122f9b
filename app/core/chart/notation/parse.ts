// Reads a chart typed in the program's own text form; every problem is reported with its line and column.
import { type Problem, type Result, type TextSpan, fail, ok } from '../../base/result.ts';
import { STANDARD } from '../../harmony/tunings.ts';
import { checkChart } from '../check.ts';
import { endingMeter, playSection } from '../form/form.ts';
import { MAX_FORM_ENTRIES, MAX_SECTION_BARS, MAX_SECTIONS, MAX_TEXT } from '../../model/limits.ts';
import { barName, unnumbered } from '../form/bar-number.ts';
import { borrowedHead } from '../form/borrowed.ts';
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
import type { ChartPlace } from '../rules/place.ts';
import { parseStrum } from '../../rhythm/strum.ts';
import { readBand } from './band.ts';
import { type BuiltBar, buildBar } from './bar-build.ts';
import { type Borrowing, borrowedAsBuilt, readLike } from './borrowing.ts';
import { splitBars, startsWithPickup } from './bar-lines.ts';
import {
  parseCapo,
  parseFeel,
  parseMeter,
  parseNames,
  parseShape,
  parseTempo,
  parseTuning,
} from './fields.ts';
import { asModelled } from './note-names.ts';
import {
  type ChartLines,
  type EntryLine,
  type SectionLines,
  type Value,
  sortLines,
  spanOf,
} from './lines.ts';
import { readLeads, withPartCure } from './lead-lines.ts';
import { withComments, withEndingTimes } from './finish-bars.ts';
import { headLines } from './print.ts';
import { pinWarnings } from './pin-warnings.ts';
import { withRemedies } from './remedies.ts';
import { START, byPlace, firstOf, overlaps, tempoMissing } from './problems.ts';
import { layWords, rowsOf } from './lay-words.ts';
import { strumProblem } from './strum-fit.ts';

/** The chart, or all problems in the order of the text. Never throws, whatever was typed. */
export function parseChart(text: string): Result<ChartBody> {
  const { chart, problems } = readTypedChart(text);
  return chart && problems.length === 0 ? ok(chart) : fail(...problems);
}

/** What a kept file holds: the chart and its identity. What a chart may have but should not is let pass. */
export function parseStoredChart(text: string): Result<TypedChart & { readonly chart: ChartBody }> {
  const typed = readTypedChart(text);
  return typed.chart ? ok({ ...typed, chart: typed.chart }) : fail(...typed.problems);
}

/** A typed text as far as it can be read. */
export interface TypedChart {
  /** Absent where something cannot be read; with problems beside it these are no more than advice. */
  readonly chart?: ChartBody;
  /** As in "id: …". */
  readonly id?: string;
  readonly problems: readonly Problem[];
  /** What is allowed but may be a slip: pinned shapes whose notes are not their chord. */
  readonly warnings: readonly Problem[];
  readonly places: ChartPlaces;
}

/** Where in the text the parts of the chart stand, in the order of the chart. */
export interface ChartPlaces {
  readonly sections: readonly {
    readonly name: TextSpan;
    readonly bars: readonly BarPlace[];
  }[];
}

export interface BarPlace {
  readonly span: TextSpan;
  readonly chords: readonly TextSpan[];
}

export function readTypedChart(text: string): TypedChart {
  if (text.length > MAX_TEXT) {
    const message = `the text has ${text.length} characters; a chart has at most ${MAX_TEXT}`;
    const problem = {
      code: 'text-long',
      message,
      cure: 'Cut it into several charts.',
      span: START,
    };
    return { problems: [problem], warnings: [], places: { sections: [] } };
  }
  const typed = new ChartReader(sortLines(text)).read();
  const warnings = typed.chart ? pinWarnings(text, typed.chart, typed.places) : [];
  return { ...typed, problems: withRemedies(text, typed.problems), warnings };
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
  /** What should be mended, though the chart can be read. */
  private readonly advice: Problem[] = [];
  private readonly unrolled = new Map<Section, ReturnType<typeof playSection>>();

  constructor(lines: ChartLines) {
    this.lines = lines;
    this.problems = [...lines.problems];
  }

  read(): Omit<TypedChart, 'warnings'> {
    const head = this.readHead();
    const sections: BuiltSection[] = [];
    for (const lines of this.lines.sections.slice(0, MAX_SECTIONS + 1)) {
      sections.push(this.readSection(lines, head, sections));
    }
    const chart: ChartBody = { ...head, sections: sections.map((s) => s.section), form: [] };
    const entries = this.readForm(chart);
    const whole = this.withComments({ ...chart, form: entries.map((e) => e.entry) });
    const typed = this.problems.length;
    const modelled = asModelled(whole);
    for (const { place, ...problem } of checkChart(modelled)) {
      const span = this.spanOf(place, sections, entries);
      if (problem.code === 'section-bars' && this.lacksBars(place.section)) continue;
      if (problem.code === 'chart-sections' && this.isMeant(/^\[/mu)) continue;
      // Without a section there is no order of them, either.
      if (problem.code === 'form-entries' && sections.length === 0) continue;
      const block = this.lines.sections[place.section ?? -1]?.lines[place.line ?? -1];
      const told = block && withPartCure(problem, block, place, modelled);
      if (typed === 0 || !this.isKnown(span)) this.problems.push(told ?? { ...problem, span });
    }
    const holds = this.problems.length === 0;
    this.problems.push(...this.advice);
    const id = this.lines.head.id?.text;
    return {
      ...(holds ? { chart: modelled } : {}),
      ...(id !== undefined && { id }),
      problems: firstOf(this.problems.toSorted(byPlace)),
      places: {
        sections: sections.map(({ bars }, i) => ({
          name: spanOf(this.lines.sections[i]!.name),
          bars: bars.map(({ span, chordSpans }) => ({ span, chords: chordSpans })),
        })),
      },
    };
  }

  /** Comments in the order in which they are printed; those above a line that is not printed close the head. */
  private withComments(chart: ChartBody): ChartBody {
    const { comments } = this.lines;
    if (comments.length === 0) return chart;
    const order = [...headLines(chart).map(({ name }) => name)];
    const places = [...new Set(order), '', 'form', 'end'];
    const settled = comments
      .map(({ before, text }) => ({ before: places.includes(before) ? before : '', text }))
      .toSorted((a, b) => places.indexOf(a.before) - places.indexOf(b.before));
    return { ...chart, comments: settled };
  }

  /** A section without bars is not blamed as well where they could not be read, or those it borrows not be found. */
  private lacksBars(section: number | undefined): boolean {
    const lines = this.lines.sections[section ?? -1];
    const like = lines?.values.like;
    if (like !== undefined && this.isKnown(spanOf(like))) return true;
    const next = this.lines.sections[(section ?? -1) + 1]?.name.line ?? Infinity;
    return lines !== undefined && this.isMeant(/^:?\|/mu, lines.name.line, next);
  }

  /** Is there a line that the cure of a mistake turns into what seems to be missing? */
  private isMeant(wanted: RegExp, from = 0, to = Infinity): boolean {
    return this.problems.some(
      ({ span, remedy }) =>
        span !== undefined &&
        span.line >= from &&
        span.line < to &&
        remedy?.edits.some(({ text }) => wanted.test(text)),
    );
  }

  /** A line that could not be read is not blamed again for what stands in for it. */
  private isKnown(span: TextSpan): boolean {
    return this.problems.some(
      (problem) => problem.span?.line === span.line && overlaps(problem.span, span),
    );
  }

  private readHead(): Omit<ChartBody, 'sections' | 'form'> {
    const { title, by, names, key, tempo, meter, feel, capo, tuning } = this.lines.head;
    const naming = this.value(names, parseNames);
    const meterRead = this.value(meter, parseMeter) ?? COMMON_TIME;
    if (!tempo && !this.isMeant(/^tempo:/mu))
      this.problems.push(tempoMissing(title && spanOf(title)));
    return {
      title: title?.text ?? '',
      ...(by && { by: by.text }),
      ...(naming === 'german' && { names: naming }),
      tempo: this.value(tempo, (text) => parseTempo(text, meterRead)) ?? ANY_TEMPO,
      meter: meterRead,
      feel: this.value<Feel>(feel, parseFeel) ?? { kind: 'straight' },
      ...(key && { key: key.text }),
      capo: this.value(capo, parseCapo) ?? 0,
      tuning: this.value<Tuning>(tuning, (text) => parseTuning(text, naming)) ?? STANDARD,
      shapes: this.readShapes(),
      ...readBand(this.lines.head, (value, parse) => this.value(value, parse)),
      ...(this.lines.fields.length > 0 && {
        fields: this.lines.fields.map(({ name, value }) => ({ name, value: value.text })),
      }),
    };
  }

  private readShapes(): ChartShape[] {
    return this.lines.shapes.flatMap((value) => {
      const shape = this.value(value, parseShape);
      return shape ? [shape] : [];
    });
  }

  private readSection(
    lines: SectionLines,
    setting: Pick<ChartBody, 'meter' | 'tuning' | 'capo'>,
    above: readonly BuiltSection[],
  ): BuiltSection {
    const chartMeter = setting.meter;
    const { tempo, meter, feel, strum } = lines.values;
    const borrowed = readLike(
      lines,
      above.map((one) => one.section),
      this.say,
    );
    const head = borrowed ? borrowedHead(borrowed.source) : {};
    const ownMeter = this.value(meter, parseMeter) ?? head.meter;
    const startMeter = ownMeter ?? chartMeter;
    const ownTempo = this.value(tempo, (text) => parseTempo(text, startMeter)) ?? head.tempo;
    const ownFeel = this.value(feel, parseFeel) ?? head.feel;
    const ownStrum = this.value(strum, parseStrum) ?? head.strum;
    const said = readBand(lines.values, (value, parse) => this.value(value, parse)).band;
    const band = (said ?? head.band) && { ...head.band, ...said };
    if (strum && ownStrum) this.advise(strumProblem(strum, ownStrum, startMeter));
    const taken = borrowed ? this.takeBars(lines, borrowed, chartMeter, startMeter) : [];
    const from = taken.length + 1;
    const after = taken.at(-1)?.meter ?? startMeter;
    const written = this.readBars(lines.bars, after, lines.name.text, from, isPickup(taken, lines));
    const bars = layWords(
      [...taken, ...written],
      lines.words,
      rowsOf(lines, [...taken, ...written], taken.length),
      this.say,
    );
    const remarks = lines.remarks.map(({ text }) => text).filter((text) => text !== '');
    const section: Section = {
      name: lines.name.text,
      ...(ownTempo && { tempo: ownTempo }),
      ...(ownMeter && { meter: ownMeter }),
      ...(ownFeel && { feel: ownFeel }),
      ...(ownStrum && { strum: ownStrum }),
      ...(band && { band }),
      ...(borrowed && { like: borrowed.like }),
      bars: withComments(withEndingTimes(bars), bars, lines.barComments),
      ...(remarks.length > 0 && { remarks }),
      ...(lines.comments.length > 0 && { comments: lines.comments }),
      ...(lines.lines.length > 0 && { leads: readLeads(lines.lines, bars, setting, this.say) }),
    };
    return { section, bars };
  }

  private takeBars(
    lines: SectionLines,
    borrowed: Borrowing,
    chartMeter: Meter,
    meter: Meter,
  ): BuiltBar[] {
    const taken = borrowedAsBuilt(borrowed, chartMeter, meter);
    const skip = taken[0]?.bar.pickup ? 1 : 0;
    for (const { number, bars } of lines.changes) {
      const at = number + skip - 1;
      const before = taken[at - 1]?.meter ?? meter;
      const own = this.readBars([bars], before, lines.name.text, number + skip, skip);
      if (at >= 0 && at + own.length <= taken.length && own.length > 0) {
        taken.splice(at, own.length, ...own);
      } else {
        const message = `‘${lines.name.text}’ borrows ${taken.length - skip} bars; bar ${number} is not among them`;
        this.problem('change-bars', message, 'Count again, or write further bars below.', bars);
      }
    }
    return taken;
  }

  private readBars(
    lines: readonly Value[],
    start: Meter,
    section: string,
    from: number,
    skip: 0 | 1 = 0,
  ): BuiltBar[] {
    let meter = start;
    const typed = splitBars(lines);
    return typed.slice(0, MAX_SECTION_BARS + 1).map((bar, i) => {
      const built = buildBar(bar, meter, barName(from + i - skip, section));
      meter = built.meter;
      this.problems.push(...built.problems);
      this.advice.push(...built.advice);
      return built;
    });
  }

  /** Without a form every section is played once, in the order of the text. */
  private readForm(chart: ChartBody): BuiltEntry[] {
    const { at, entries } = this.lines.form;
    if (at)
      return entries.slice(0, MAX_FORM_ENTRIES + 1).map((line) => this.readEntry(line, chart));
    return chart.sections.map(({ name }) => ({ entry: { section: name, times: 1 }, bars: [] }));
  }

  private readEntry(line: EntryLine, chart: ChartBody): BuiltEntry {
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
      const cure = 'Write “ending” (replaces the last bars) or “added” before them.';
      this.problem(
        'ending-word',
        `the form does not say what the bars after ‘${name}’ do`,
        cure,
        line.bars,
      );
    }
    return this.readEnding(line, line.bars, entry, word === 'added' ? 'add' : 'replace', chart);
  }

  private readEnding(
    line: EntryLine,
    typed: Value,
    entry: FormEntry,
    kind: AlteredEnding['kind'],
    chart: ChartBody,
  ): BuiltEntry {
    const section = chart.sections.find((s) => s.name === entry.section);
    const played = section && this.played(chart, section);
    const count = splitBars([typed]).length;
    const bars = Array.from({ length: count }, (): Bar => ({ content: { kind: 'simile' } }));
    const meter = played?.ok ? endingMeter(played.value, { kind, bars }) : chart.meter;
    const from = (section?.bars.length ?? 0) + 1;
    const read = this.readBars(
      [typed],
      meter,
      entry.section,
      from,
      unnumbered(section?.bars ?? []),
    );
    const rows = { lines: [read.map((_, i) => i)], loose: [] };
    const built = layWords(read, line.words, rows, this.say);
    return { entry: { ...entry, ending: { kind, bars: built.map((b) => b.bar) } }, bars: built };
  }

  /** Unrolled once for all endings: a hostile text has many of both. */
  private played(chart: ChartBody, section: Section): ReturnType<typeof playSection> {
    const known = this.unrolled.get(section) ?? playSection(chart, section);
    this.unrolled.set(section, known);
    return known;
  }

  private value<T>(value: Value | undefined, parse: (text: string) => Result<T>): T | undefined {
    if (!value) return undefined;
    const result = parse(value.text);
    if (result.ok) return result.value;
    const span = spanOf(value);
    this.problems.push(...result.problems.map((problem) => ({ ...problem, span })));
    return undefined;
  }

  private readonly say = (problem: Problem): void => {
    this.problems.push(problem);
  };

  private advise(problem: Problem | undefined): void {
    if (problem) this.advice.push(problem);
  }

  private problem(code: string, message: string, cure: string, at: Value): void {
    this.problems.push({ code, message, cure, span: spanOf(at) });
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

/** Does the section start with a pickup, borrowed or typed? */
const isPickup = (taken: readonly BuiltBar[], { bars }: SectionLines): 0 | 1 =>
  (taken[0] ? taken[0].bar.pickup !== undefined : startsWithPickup(bars[0]?.text ?? '')) ? 1 : 0;
