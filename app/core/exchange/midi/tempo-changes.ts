// What the changes of tempo of a MIDI file mean bar by bar: a gradual change, back to the own tempo, or a new section.
import type { PaceMark } from '../../model/chart.ts';

/** Tempos nearer than this to each other are one (quarter notes a minute, as a share). */
const SAME = 0.005;
const same = (a: number, b: number): boolean => Math.abs(a / b - 1) < SAME;

/** The tempos that hold in a bar, from its start to its end, in quarter notes a minute; at least one. */
export type BarTempos = readonly number[];

export type TempoStep =
  /** Nothing is to be written. */
  | { readonly kind: 'stay' }
  /** A change goes on from the bar in which it began, and leads to another tempo than was known. */
  | { readonly kind: 'mark'; readonly bar: number; readonly mark: PaceMark }
  /** The bar has a tempo of its own that no mark leads to: a section begins with it. */
  | { readonly kind: 'section' };

interface Gradual {
  readonly bar: number;
  readonly faster: boolean;
  to: number;
}

/** Follows the bars of a file in order; bars are counted within their section from 0. */
export class TempoReader {
  #own = 120;
  #bar = -1;
  #change: Gradual | undefined;

  /** The first bar of a section that begins anyway. */
  open(tempos: BarTempos): readonly TempoStep[] {
    return this.#begin(tempos[0]!, tempos.at(-1)!);
  }

  next(tempos: BarTempos): readonly TempoStep[] {
    const [start, end] = [tempos[0]!, tempos.at(-1)!];
    this.#bar += 1;
    if (!this.#follows(start, end)) return this.#part(start, end);
    const change = this.#change;
    if (!change) return same(end, this.#own) ? STAY : [this.#gradual(end)];
    if (same(start, this.#own) && same(end, this.#own)) {
      this.#change = undefined;
      return [{ kind: 'mark', bar: this.#bar, mark: { kind: 'a-tempo' } }];
    }
    const further = change.faster ? end > change.to : end < change.to;
    if (!further || same(end, change.to)) return this.#part(start, end);
    change.to = end;
    return [this.#markOf(change)];
  }

  /** Is the bar's first tempo the section's own, or on the way of a change, which may begin with the bar? */
  #follows(start: number, end: number): boolean {
    if (same(start, this.#own)) return true;
    const change = this.#change;
    if (!change) return start > this.#own ? end > start : end < start;
    return same(start, change.to) || (change.faster ? start > change.to : start < change.to);
  }

  #part(start: number, end: number): readonly TempoStep[] {
    return [{ kind: 'section' }, ...this.#begin(start, end)];
  }

  #begin(start: number, end: number): readonly TempoStep[] {
    this.#own = start;
    this.#bar = 0;
    this.#change = undefined;
    return same(end, start) ? [] : [this.#gradual(end)];
  }

  #gradual(to: number): TempoStep {
    this.#change = { bar: this.#bar, faster: to > this.#own, to };
    return this.#markOf(this.#change);
  }

  #markOf({ bar, faster, to }: Gradual): TempoStep {
    return { kind: 'mark', bar, mark: { kind: faster ? 'faster' : 'slower', to } };
  }
}

const STAY: readonly TempoStep[] = [{ kind: 'stay' }];
