// What is to be told of files of charts: mistakes in their texts, and what others made of them; each once.
import type { Problem, Result } from '../../../core/base/result.ts';
import type { Chart } from '../../../core/model/chart.ts';
import type { ChartEntry } from './chart-index.ts';
import { changedElsewhere, flawed, notTaken } from './chart-problems.ts';

interface Flaw {
  readonly stamp: string;
  readonly problems: readonly Problem[];
}

export class ChartNews {
  /** Files that were read whole, with their stamps. */
  readonly #looked = new Set<string>();
  /** What is wrong with files that were read, by file. */
  readonly #flaws = new Map<string, Flaw>();
  /** Files whose mistake was told, with their stamps; and names of files that are no charts. */
  readonly #told = new Set<string>();
  #waiting: Problem[] = [];
  /** Titles of charts that another program changed. */
  readonly #changed = new Set<string>();

  add(problem: Problem): void {
    this.#waiting.push(problem);
  }

  addChanged(title: string): void {
    this.#changed.add(title);
  }

  /** Was the file read whole as it stands? */
  knows(entry: ChartEntry): boolean {
    return this.#looked.has(markOf(entry));
  }

  /** The file was read whole. */
  note(entry: ChartEntry, read: Result<Chart>): void {
    this.#looked.add(markOf(entry));
    if (read.ok) this.#flaws.delete(entry.file);
    else this.#flaws.set(entry.file, { stamp: entry.stamp, problems: read.problems });
  }

  isFlawed(entry: ChartEntry): boolean {
    return this.#flawOf(entry) !== undefined;
  }

  /** How much has been found; it grows whenever there is more to tell. */
  get found(): number {
    return this.#flaws.size + this.#waiting.length + this.#changed.size;
  }

  /** All that was not told yet, of these files among others. @param strangers Names of files that are no charts. */
  take(entries: readonly ChartEntry[], strangers: readonly string[]): readonly Problem[] {
    const changed = this.#changed.size > 0 ? [changedElsewhere([...this.#changed])] : [];
    const news = [
      ...this.#waiting,
      ...changed,
      ...this.#untold(entries),
      ...this.#untaken(strangers),
    ];
    this.#waiting = [];
    this.#changed.clear();
    return news;
  }

  /** Each of these is told once: files with a mistake are marked in the list. */
  #untold(entries: readonly ChartEntry[]): readonly Problem[] {
    const untold = entries.filter(
      (entry) => (entry.trouble || this.#flawOf(entry)) && !this.#told.has(markOf(entry)),
    );
    for (const entry of untold) this.#told.add(markOf(entry));
    const flaws = untold.flatMap((entry) => {
      const problems = this.#flawOf(entry);
      return problems ? [{ file: entry.file, problems }] : [];
    });
    return [...untold.flatMap(({ trouble }) => trouble ?? []), ...flawed(flaws)];
  }

  #untaken(strangers: readonly string[]): readonly Problem[] {
    const untold = strangers.filter((name) => !this.#told.has(name));
    for (const name of untold) this.#told.add(name);
    return untold.length > 0 ? [notTaken(untold)] : [];
  }

  /** The mistakes of its text as it stands, where it was read. */
  #flawOf({ file, stamp, trouble }: ChartEntry): readonly Problem[] | undefined {
    const flaw = this.#flaws.get(file);
    return flaw?.stamp === stamp && !trouble ? flaw.problems : undefined;
  }
}

const markOf = ({ file, stamp }: ChartEntry): string => `${file} ${stamp}`;
