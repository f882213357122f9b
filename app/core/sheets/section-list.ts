// The sections of a sheet while they are filled: where each begins, and what those without a name are called.
import { MAX_REMARK, MAX_REMARKS } from '../model/limits.ts';
import type { Label } from './labels.ts';
import type { SheetLine, SheetSection } from './model.ts';

interface OpenSection {
  name: string;
  named: boolean;
  times: number;
  like?: string;
  strum?: string;
  readonly remarks: string[];
  lines: SheetLine[];
  /** Are its chords all on the line of its name? */
  short?: boolean;
}

/** Names of what has no words. */
const PLAYED =
  /^(?:intro|vorspiel|einleitung|interlude|zwischenspiel|instrumental|solo|riff|link|lick|turnaround|prelude)/iu;

export class SectionList {
  readonly #sections: OpenSection[] = [];
  /** Remarks that stand above their section. */
  #above: string[] = [];

  /** Has any of them a line? */
  get hasLines(): boolean {
    return this.#sections.some(({ lines }) => lines.length > 0);
  }

  start({ name, times }: Pick<Label, 'name' | 'times'>): void {
    this.#begin({ name, named: true, times, lines: [], remarks: [] });
  }

  /** The section that was begun last is strummed so. Returns whether there is one. */
  setStrum(strum: string): boolean {
    const last = this.#sections.at(-1);
    if (last) last.strum = strum;
    return last !== undefined;
  }

  /**
   * A note for the player in the section that was begun last, or above the next one. Returns whether there is a
   * place for it.
   */
  remark(typed: string, isAbove: boolean): boolean {
    const text = typed
      .trim()
      .replace(/^[([{*]+\s*|\s*[)\]}*]+$/gu, '')
      .replace(/^(?:note|nb|n\.b\.|hinweis|anmerkung)\s*:\s*/iu, '');
    const last = this.#sections.at(-1);
    const remarks = isAbove || !last ? this.#above : last.remarks;
    if (text === '' || text.length > MAX_REMARK || remarks.length >= MAX_REMARKS) return false;
    remarks.push(text);
    return true;
  }

  /** The section that was named last has the bars of another. Returns whether there is one of that name. */
  like(name: string | undefined): boolean {
    const named = this.#sections.some((one) => one.name.toLowerCase() === name?.toLowerCase());
    if (named) this.#sections.at(-1)!.like = name!;
    return named;
  }

  /** Do the chords of the section that was named last all stand on the line of its name? */
  set short(short: boolean) {
    this.#sections.at(-1)!.short = short;
  }

  /** @param gap Does an empty line stand above it? */
  add(line: SheetLine, gap: boolean): void {
    this.#goingOn(gap, line.words !== '').lines.push(line);
  }

  /** Stanzas without a name are verses, what has no words is a part. */
  named(): readonly SheetSection[] {
    const taken = new Set(this.#sections.map(({ name }) => name.toLowerCase()));
    const next = (word: string): string => {
      let n = 1;
      while (taken.has(`${word} ${n}`.toLowerCase())) n++;
      taken.add(`${word} ${n}`.toLowerCase());
      return `${word} ${n}`;
    };
    return this.#sections
      .filter(({ lines, named }) => lines.length > 0 || named)
      .map((section) => {
        if (section.named) return section;
        const sung = section.lines.some(({ words }) => words !== '');
        return { ...section, name: next(sung ? 'Verse' : 'Part') };
      });
  }

  /**
   * The section that a line goes to. A stanza behind an empty line is a new one where none has a name, where the sheet
   * names only some of them, or where what has a name is played and not sung.
   */
  #goingOn(gap: boolean, sung: boolean): OpenSection {
    const last = this.#sections.at(-1);
    if (last && !(gap && this.#ends(last, sung))) return last;
    return this.#begin({ name: '', named: false, times: 1, lines: [], remarks: [] });
  }

  #begin(section: OpenSection): OpenSection {
    section.remarks.push(...this.#above);
    this.#above = [];
    this.#sections.push(section);
    return section;
  }

  #ends(section: OpenSection, sung: boolean): boolean {
    if (!section.named) return true;
    if (section.lines.length === 0) return false;
    const nameless = this.#sections.filter(({ named }) => !named);
    if (nameless.some(({ lines }) => lines.some(({ words }) => words !== ''))) return true;
    const played = section.lines.every(({ words }) => words === '');
    return sung && played && (section.short === true || PLAYED.test(section.name));
  }
}
