// Sorts the lines of a typed chart: head lines, section headings, bar lines, entries of the form.
import type { Problem, TextSpan } from '../../base/result.ts';
import { MAX_LINE } from '../../model/limits.ts';
import type { TextPart } from './bar-lines.ts';
import { cureOfLine } from './guess.ts';

export type HeadKey = 'title' | 'key' | 'tempo' | 'meter' | 'feel' | 'capo' | 'tuning';
export type SectionKey = 'tempo' | 'meter' | 'feel' | 'strum';

/** A value with its place; `text` is trimmed. */
export type Value = TextPart;

/** A lead line: its head, "Hook, bar 3", and its parts. */
export interface LineBlock {
  readonly head: Value;
  readonly parts: { readonly name: Value; readonly text: Value }[];
}

export interface SectionLines {
  readonly name: Value;
  readonly values: Partial<Record<SectionKey, Value>>;
  readonly bars: Value[];
  readonly lines: LineBlock[];
}

export interface EntryLine {
  readonly head: Value;
  /** From the first bar line on. */
  readonly bars?: Value;
}

export interface ChartLines {
  readonly head: Partial<Record<HeadKey, Value>>;
  readonly shapes: Value[];
  readonly sections: SectionLines[];
  readonly form: { readonly at?: Value; readonly entries: EntryLine[] };
  readonly problems: Problem[];
}

const HEAD_KEYS: readonly string[] = ['title', 'key', 'tempo', 'meter', 'feel', 'capo', 'tuning'];
const SECTION_KEYS: readonly string[] = ['tempo', 'meter', 'feel', 'strum'];

export const spanOf = ({ line, column, text }: Value): TextSpan => ({
  line,
  column,
  length: Math.max(1, text.length),
});

export function sortLines(text: string): ChartLines {
  const sorter = new LineSorter();
  text
    .replace(/^\uFEFF/u, '')
    .split(/\r\n|\n|\r/)
    .forEach((line, i) => sorter.read(line, i + 1));
  return sorter.lines;
}

class LineSorter {
  readonly lines: {
    head: Partial<Record<HeadKey, Value>>;
    shapes: Value[];
    sections: SectionLines[];
    form: { at?: Value; entries: EntryLine[] };
    problems: Problem[];
  } = { head: {}, shapes: [], sections: [], form: { entries: [] }, problems: [] };
  private within: 'head' | 'section' | 'form' = 'head';

  read(raw: string, line: number): void {
    const whole = part(raw, line, 0);
    if (whole.text === '') return;
    if (whole.text.length > MAX_LINE) return this.tooLong(whole);
    const heading = /^\[([^\]]*)\]?$/u.exec(whole.text);
    if (heading) return this.startSection(part(heading[1]!, line, raw.indexOf('[') + 1));
    if (this.within === 'section' && /^:?\|/.test(whole.text)) return this.addBars(whole);
    const partOf = /^(\s*part\s)([^:|]*)(:)(.*)$/isu.exec(raw);
    if (partOf && this.within === 'section') return this.addPart(partOf, line, whole);
    const keyed = /^\s*(\p{L}+)\s*:(?!\|)(.*)$/su.exec(raw);
    if (keyed) return this.readKeyed(keyed[1]!.toLowerCase(), keyed[2]!, raw, whole);
    const shape = /^\s*shape\s+(?=\S)/iu.exec(raw);
    if (shape && this.within !== 'section') {
      this.lines.shapes.push(part(raw.slice(shape[0].length), line, shape[0].length));
      return;
    }
    if (this.within === 'form') return this.readEntries(raw, line, 0);
    this.notUnderstood(whole);
  }

  private startSection(name: Value): void {
    this.within = 'section';
    this.lines.sections.push({ name, values: {}, bars: [], lines: [] });
  }

  private addBars(bars: Value): void {
    this.lines.sections.at(-1)!.bars.push(bars);
  }

  private addPart([, lead, name, colon, text]: RegExpExecArray, line: number, whole: Value): void {
    const block = this.lines.sections.at(-1)!.lines.at(-1);
    if (!block) {
      const cure = 'Write the line’s name and first bar above it, e.g. “line: Hook, bar 3”.';
      return this.problem('part-alone', `“part ${name}” belongs to no lead line`, cure, whole);
    }
    block.parts.push({
      name: part(name!, line, lead!.length),
      text: part(text!, line, lead!.length + name!.length + colon!.length),
    });
  }

  private readKeyed(key: string, rest: string, raw: string, whole: Value): void {
    const value = part(rest, whole.line, raw.length - rest.length);
    if (key === 'form') return this.startForm(value, whole, rest, raw);
    if (this.within === 'section') {
      if (key === 'line') {
        this.lines.sections.at(-1)!.lines.push({ head: value, parts: [] });
        return;
      }
      if (SECTION_KEYS.includes(key)) {
        return this.set(this.lines.sections.at(-1)!.values, key as SectionKey, value, whole);
      }
    } else if (HEAD_KEYS.includes(key)) {
      return this.set(this.lines.head, key as HeadKey, value, whole);
    }
    const keys = this.within === 'section' ? [...SECTION_KEYS, 'line'] : [...HEAD_KEYS, 'form'];
    const where = this.within === 'section' ? ' under a section' : '';
    const message = `“${key}:” is not known${where}`;
    this.problem('line-unknown', message, `Use ${keys.map((k) => `${k}:`).join(', ')}.`, whole);
  }

  private set<K extends string>(
    values: Partial<Record<K, Value>>,
    key: K,
    value: Value,
    whole: Value,
  ): void {
    if (values[key]) {
      const message = `“${key}:” is written twice, first in line ${values[key].line}`;
      return this.problem('line-twice', message, 'Keep one of them.', whole);
    }
    values[key] = value.text === '' ? { ...value, column: whole.column } : value;
  }

  private startForm(value: Value, whole: Value, rest: string, raw: string): void {
    if (this.lines.form.at) {
      const message = `“form:” is written twice, first in line ${this.lines.form.at.line}`;
      return this.problem('line-twice', message, 'Put all its entries under one.', whole);
    }
    this.within = 'form';
    this.lines.form.at = whole;
    if (value.text !== '') this.readEntries(rest, whole.line, raw.length - rest.length);
  }

  /** "Intro, Verse x2 ending | C | G |": entries parted by commas, bars belong to the last one. */
  private readEntries(text: string, line: number, offset: number): void {
    const barsAt = text.search(/:?\|/u);
    const heads = barsAt < 0 ? text : text.slice(0, barsAt);
    const bars = barsAt < 0 ? undefined : part(text.slice(barsAt), line, offset + barsAt);
    let at = 0;
    const parts = heads.split(',').map((head) => {
      const value = part(head, line, offset + at);
      at += head.length + 1;
      return value;
    });
    parts.forEach((head, i) => {
      const isLast = i === parts.length - 1;
      if (head.text === '' && !(isLast && bars)) return;
      this.lines.form.entries.push({ head, ...(isLast && bars && { bars }) });
    });
  }

  private tooLong(whole: Value): void {
    const message = `line ${whole.line} has ${whole.text.length} characters`;
    this.problem('line-long', message, `Break it; a line has at most ${MAX_LINE}.`, whole);
  }

  private notUnderstood(whole: Value): void {
    if (/^(?:#|\/\/)/.test(whole.text)) {
      const cure = 'Take the remark out; the practice log and assignments have notes.';
      return this.problem(
        'line-remark',
        `line ${whole.line} is a remark, which a chart cannot keep`,
        cure,
        whole,
      );
    }
    const cure = cureOfLine(whole.text, {
      within: this.within,
      opens:
        this.lines.problems.length + Object.keys(this.lines.head).length === 0 &&
        this.within === 'head',
    });
    this.problem(
      'line-unknown',
      `line ${whole.line} cannot be read: “${whole.text.slice(0, 40)}”`,
      cure,
      whole,
    );
  }

  private problem(code: string, message: string, cure: string, at: Value): void {
    this.lines.problems.push({ code, message, cure, span: spanOf(at) });
  }
}

/** Trimmed text with its place; `offset` is how many characters of the line stand before `text`. */
function part(text: string, line: number, offset: number): Value {
  const lead = text.length - text.trimStart().length;
  return { text: text.trim(), line, column: offset + lead + 1 };
}
