// Sorts the lines of a typed chart: head lines, section headings, bars, words, remarks, entries of the form.
import type { Problem } from '../../base/result.ts';
import { MAX_LINE } from '../../model/limits.ts';
import { withoutQuotes } from './bar-lines.ts';
import { type Doubt, cureOfKey, cureOfLine, nameMeant } from './guess.ts';
import { FORM_START, HEAD_KEYS, type HeadKey, SECTION_KEYS, SYNONYMS } from './keys.ts';
import { type ChartLines, type EntryLine, type SectionLines, type Value, spanOf } from './lines.ts';

/** Tells what each line of a typed chart is; line ends may be of any system. Never throws. */
export function sortLines(text: string): ChartLines {
  const sorter = new LineSorter();
  text
    .replace(/^\uFEFF/u, '')
    .split(/\r\n|\n|\r/)
    .forEach((line, i) => sorter.read(line, i + 1));
  return sorter.finish();
}

/** "# slower than it looks" or "// …". */
const COMMENT = /^(?:#|\/\/)\s?(.*)$/su;
/** A comment after the last bar line of a line. */
const TRAILING = /\|\s*#(?:\s|$)/u;
const WORDS = /^(\s*words(?:\s+(\d{1,2}))?\s*:)(.*)$/isu;
const CHANGE = /^(\s*bars?\s+(\d{1,4}|pickup)\s*:)(.*)$/isu;
const PART = /^(\s*part\s)([^:|]*)(:)(.*)$/isu;
/** What is said of a section or of bars, never of a whole chart. */
const UNDER_SECTIONS = ['strum', 'strumming', 'strum pattern', 'like', 'remark', 'words'];
const KEYED = /^\s*(\p{L}[\p{L} -]{0,30}?)\s*:(?!\|)(.*)$/su;

class LineSorter {
  private readonly lines: {
    head: Partial<Record<HeadKey, Value>>;
    fields: { name: string; value: Value }[];
    comments: { before: string; text: string }[];
    shapes: Value[];
    sections: SectionLines[];
    form: { at?: Value; entries: EntryLine[] };
    problems: Problem[];
  } = {
    head: {},
    fields: [],
    comments: [],
    shapes: [],
    sections: [],
    form: { entries: [] },
    problems: [],
  };
  private within: 'head' | 'section' | 'form' = 'head';
  /** Comments that wait for what stands below them. */
  private waiting: string[] = [];

  finish(): ChartLines {
    this.keepComments('end');
    return this.lines;
  }

  read(raw: string, line: number): void {
    const whole = part(raw, line, 0);
    if (whole.text === '') return;
    if (whole.text.length > MAX_LINE) return this.tooLong(whole);
    const comment = COMMENT.exec(whole.text);
    if (comment) return this.addComment(comment[1]!);
    const heading = /^\[([^\]]*)\]?$/u.exec(whole.text);
    if (heading) return this.startHeading(heading[1]!, raw, whole);
    if (this.within === 'section' && /^:?\|/.test(whole.text)) return this.addBars(whole);
    if (this.readUnder(raw, whole)) return;
    const keyed = KEYED.exec(raw);
    if (keyed) return this.readKeyed(keyed[1]!, keyed[2]!, raw, whole);
    const shape = /^\s*shape\s+(?=\S)/iu.exec(raw);
    if (shape && this.within !== 'section') return this.addShape(raw, shape[0].length, line);
    if (this.within === 'form') return this.readEntries(raw, line, 0);
    this.notUnderstood(whole);
  }

  /** Lines that belong to bars: words, changes of borrowed bars, parts of lead lines. */
  private readUnder(raw: string, whole: Value): boolean {
    const words = WORDS.exec(raw);
    if (words && this.within !== 'head') {
      this.addWords(Number(words[2] ?? 1), part(words[3]!, whole.line, words[1]!.length), whole);
      return true;
    }
    if (this.within !== 'section') return false;
    const change = CHANGE.exec(raw);
    if (change) {
      const number = /^p/iu.test(change[2]!) ? 0 : Number(change[2]);
      const bars = part(change[3]!, whole.line, change[1]!.length);
      this.section.changes.push({ number, bars });
      return true;
    }
    const partOf = PART.exec(raw);
    if (partOf) this.addPart(partOf, whole.line, whole);
    return partOf !== null;
  }

  private get section(): SectionLines {
    return this.lines.sections.at(-1)!;
  }

  private addComment(text: string): void {
    this.waiting.push(text.trimEnd());
  }

  private takeComments(): readonly string[] {
    const { waiting } = this;
    this.waiting = [];
    return waiting;
  }

  private keepComments(before: string): void {
    this.lines.comments.push(...this.takeComments().map((text) => ({ before, text })));
  }

  /** A heading without its closing bracket is read, and told. */
  private startHeading(name: string, raw: string, whole: Value): void {
    this.startSection(part(name, whole.line, raw.indexOf('[') + 1));
    if (whole.text.endsWith(']')) return;
    const edits = [
      { line: whole.line, column: whole.column + whole.text.length, length: 0, text: ']' },
    ];
    this.lines.problems.push({
      code: 'heading-open',
      message: `the name of section ‘${name.trim()}’ has no closing bracket`,
      cure: `Write “[${name.trim()}]”.`,
      span: spanOf(whole),
      remedy: { label: 'Close it with ]', edits },
    });
  }

  /** A line that was surely meant to name a section starts one, so that the lines below it are not blamed as well. */
  private startMeant(whole: Value, { remedy }: Doubt): void {
    const name = nameMeant(whole.text, remedy);
    if (name !== undefined && this.within !== 'form') this.startSection({ ...whole, text: name });
  }

  private startSection(name: Value): void {
    this.within = 'section';
    this.lines.sections.push({
      name,
      comments: this.takeComments(),
      values: {},
      remarks: [],
      bars: [],
      barComments: new Map(),
      changes: [],
      words: [],
      leads: [],
    });
  }

  private addBars(bars: Value): void {
    const trailing = TRAILING.exec(withoutQuotes(bars.text));
    const end = trailing ? trailing.index + 1 : bars.text.length;
    if (trailing) this.addComment(bars.text.slice(end).trim().slice(1).trim());
    const comments = this.takeComments();
    if (comments.length > 0) this.section.barComments.set(bars.line, comments);
    this.section.bars.push({ ...bars, text: bars.text.slice(0, end) });
  }

  private addWords(verse: number, text: Value, whole: Value): void {
    const owner = this.within === 'section' ? this.section : this.lines.form.entries.at(-1);
    if (!owner) {
      const cure = 'Write it under the bars it belongs to.';
      return this.problem('words-alone', `line ${whole.line} has words without bars`, cure, whole);
    }
    const to = this.within === 'section' ? this.section.bars.length : 1;
    const last = owner.words.at(-1);
    const from = last?.to === to ? last.from : (last?.to ?? 0);
    owner.words.push({ verse, text, from, to });
  }

  private addPart([, lead, name, colon, text]: RegExpExecArray, line: number, whole: Value): void {
    const block = this.section.leads.at(-1);
    if (!block) {
      const cure = 'Write the line’s name and first bar above it, e.g. “line: Hook, bar 3”.';
      return this.problem('part-alone', `“part ${name}” belongs to no lead line`, cure, whole);
    }
    block.parts.push({
      name: part(name!, line, lead!.length),
      text: part(text!, line, lead!.length + name!.length + colon!.length),
    });
  }

  private addShape(raw: string, length: number, line: number): void {
    const value = part(raw.slice(length), line, length);
    this.keepComments(`shape ${value.text.split('=')[0]!.trim()}`);
    this.lines.shapes.push(value);
  }

  private readKeyed(name: string, rest: string, raw: string, whole: Value): void {
    const key = name.toLowerCase();
    const value = part(rest, whole.line, raw.length - rest.length);
    if (FORM_START.includes(key)) return this.startForm(value, whole, rest, raw);
    if (this.within === 'section') return this.readSectionKey(key, name, value, whole);
    const known = SYNONYMS.get(key) ?? key;
    const headKey = HEAD_KEYS.find((other) => other === known);
    if (headKey) {
      this.keepComments(headKey);
      return this.set(this.lines.head, headKey, value, whole);
    }
    if (UNDER_SECTIONS.includes(key)) return this.tooFarUp(name, whole);
    const doubt = cureOfKey(name, value.text, this.within, whole);
    if (doubt) return this.unknownKey(name, whole, doubt);
    this.keepComments(name);
    this.lines.fields.push({ name, value });
  }

  private tooFarUp(name: string, whole: Value): void {
    const cure = 'Write it under a section’s name, e.g. under “[Verse]”.';
    this.problem('line-under', `“${name}:” belongs under a section`, cure, whole);
  }

  private readSectionKey(key: string, name: string, value: Value, whole: Value): void {
    if (key === 'line') {
      this.section.leads.push({ head: value, parts: [] });
      return;
    }
    if (key === 'remark') {
      this.section.remarks.push(value);
      return;
    }
    const known = SECTION_KEYS.find((other) => other === (SYNONYMS.get(key) ?? key));
    if (known) return this.set(this.section.values, known, value, whole);
    const atTop = (one: string): boolean => Object.hasOwn(this.lines.head, one);
    this.unknownKey(name, whole, cureOfKey(name, value.text, 'section', whole, atTop));
  }

  private unknownKey(
    name: string,
    whole: Value,
    doubt: Pick<Problem, 'cure' | 'remedy'> | undefined,
  ): void {
    const where = this.within === 'section' ? ' under a section' : '';
    const keys = [...SECTION_KEYS, 'line', 'remark', 'words', 'form'];
    const usual = { cure: `Use ${keys.map((k) => `${k}:`).join(', ')}.` };
    this.lines.problems.push({
      code: 'line-unknown',
      message: `“${name}:” is not known${where}`,
      ...(doubt ?? usual),
      span: spanOf(whole),
    });
    if (doubt) this.startMeant(whole, doubt);
  }

  private set<K extends string>(
    values: Partial<Record<K, Value>>,
    key: K,
    value: Value,
    whole: Value,
  ): void {
    if (values[key]) {
      const message = `“${key}:” is written twice, first in line ${values[key].line}`;
      const remedy = { label: 'Take this one out', edits: [{ ...spanOf(whole), text: '' }] };
      this.lines.problems.push({
        code: 'line-twice',
        message,
        cure: 'Keep one of them.',
        span: spanOf(whole),
        remedy,
      });
      return;
    }
    values[key] = value.text === '' ? { ...value, column: whole.column } : value;
  }

  private startForm(value: Value, whole: Value, rest: string, raw: string): void {
    if (this.lines.form.at) {
      const message = `“form:” is written twice, first in line ${this.lines.form.at.line}`;
      return this.problem('form-twice', message, 'Put all its entries under one.', whole);
    }
    this.within = 'form';
    this.keepComments('form');
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
      const comments = this.takeComments();
      this.lines.form.entries.push({ head, comments, words: [], ...(isLast && bars && { bars }) });
    });
  }

  private tooLong(whole: Value): void {
    const message = `line ${whole.line} has ${whole.text.length} characters`;
    this.problem('line-long', message, `Break it; a line has at most ${MAX_LINE}.`, whole);
  }

  private notUnderstood(whole: Value): void {
    const doubt = cureOfLine(whole, {
      within: this.within,
      opens:
        this.lines.problems.length + Object.keys(this.lines.head).length === 0 &&
        this.within === 'head',
    });
    this.lines.problems.push({
      code: 'line-unknown',
      message: `line ${whole.line} cannot be read: “${whole.text.slice(0, 40)}”`,
      ...doubt,
      span: spanOf(whole),
    });
    this.startMeant(whole, doubt);
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
