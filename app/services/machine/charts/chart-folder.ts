// The library: a folder of charts as text files. Each is opened when it is asked for; what others changed is never overwritten.
import fs from 'node:fs';
import path from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { writeFileSync } from 'atomically';
import { checked } from '../../../core/base/checked.ts';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import type { Result } from '../../../core/base/result.ts';
import { fail, ok } from '../../../core/base/result.ts';
import { readAnyChart } from '../../../core/chart/notation/any-chart.ts';
import {
  CHART_SUFFIX,
  readChartHead,
  readChartText,
  typedText,
  writeChartText,
} from '../../../core/chart/notation/chart-text.ts';
import { chartSchema } from '../../../core/chart/schema.ts';
import { problemsOfIssues } from '../../../core/chart/schema-words.ts';
import type { Chart } from '../../../core/model/chart.ts';
import type { Beside } from '../../contract/archives.ts';
import type { ChartLibrary, ListedChart } from '../../contract/contract.ts';
import { assertHere, type DataFolder } from '../store/data-folder.ts';
import { fileName } from '../store/file-name.ts';
import { bears, freeFile, readText, readWhole } from './chart-file.ts';
import {
  type ChartEntry,
  indexCharts,
  type Known,
  readEntry,
  stampOf,
  strangersIn,
} from './chart-index.ts';
import {
  changedUnseen,
  keptBoth,
  noCopy,
  notSaved,
  notThere,
  unreadable,
} from './chart-problems.ts';
import { ChartNews } from './chart-news.ts';
import { type ChartVersion, ChartVersions } from './chart-versions.ts';
import { DeletedCharts } from './deleted-charts.ts';
import { attempt } from '../store/durable.ts';
import { makeFolder } from '../store/make-folder.ts';
import { watchFolder } from '../store/watch-folder.ts';

/** What held all charts in the earlier form of the data folder. */
export const OLD_CHARTS = 'charts.json';

/** Mistakes that are found one after the other are told together. */
const TOLD_MS = 1_000;

export interface ChartFolderOptions {
  readonly folder: DataFolder;
  readonly now: () => Date;
  readonly newId: () => string;
  /** The charts that a new library starts with. */
  readonly demo: () => readonly Chart[];
}

export class ChartFolder {
  readonly #options: ChartFolderOptions;
  readonly #charts: string;
  readonly #deleted: DeletedCharts;
  readonly #versions: ChartVersions;
  /** By file. */
  #known: Known = new Map();
  /** Stamps of the files as charts were last handed out or saved, by id: what a change is made from. */
  readonly #opened = new Map<string, string>();
  readonly #news = new ChartNews();

  constructor(options: ChartFolderOptions) {
    this.#options = options;
    const { directory } = options.folder;
    this.#charts = path.join(directory, 'charts');
    this.#deleted = new DeletedCharts(directory);
    this.#versions = new ChartVersions(directory);
    const isNew = !fs.existsSync(this.#charts) && !fs.existsSync(path.join(directory, OLD_CHARTS));
    if (isNew && options.folder.writable) this.#begin();
    this.#look();
  }

  list(): ChartLibrary {
    const entries = this.#look();
    return {
      charts: entries.map((entry) => this.#listed(entry)),
      removed: this.#deleted.listed(),
      problems: this.#news.take(entries, strangersIn(this.#charts)),
    };
  }

  /** Fails with the mistakes of its text. */
  open(id: string): Result<Chart> {
    const entry = this.#find(id);
    if (!entry) return fail(notThere(id));
    if (entry.trouble) return fail(entry.trouble);
    this.#opened.set(id, entry.stamp);
    return this.#read(entry);
  }

  /** What is typed of its file, whatever it holds. */
  text(id: string): Result<string> {
    const entry = this.#find(id);
    if (!entry) return fail(notThere(id));
    if (entry.trouble) return fail(entry.trouble);
    try {
      this.#opened.set(id, entry.stamp);
      return ok(typedText(readText(entry.file)));
    } catch (error) {
      return fail(unreadable(entry.file, error));
    }
  }

  /** Adds the chart, or replaces the one with its id; what others made of its file since it was opened is kept. */
  save(raw: unknown): Result<Chart> {
    const parsed = checked(chartSchema, raw);
    if (!parsed.success) return fail(...problemsOfIssues(parsed.error.issues, raw));
    const chart: Chart = parsed.data;
    try {
      assertHere(this.#options.folder);
      const known = this.#knownAs(chart.id);
      // What could not be read is not replaced either.
      const before = known?.trouble ? undefined : known;
      const now = before && stampOf(before.file);
      const seen = this.#opened.get(chart.id) ?? before?.stamp;
      const theirs = before && now !== undefined && now !== seen;
      if (before && now !== undefined) this.#keepVersion(before);
      if (theirs) this.#keepOther(before);
      this.#write(chart, theirs ? undefined : before);
      return ok(chart);
    } catch (error) {
      return fail(notSaved(error));
    }
  }

  /** A chart whose id is taken by another one becomes a chart of its own; nothing is replaced. */
  import(text: string): Result<Chart> {
    const read = readAnyChart(text, this.#options.newId());
    if (!read.ok) return read;
    const taken = this.#find(read.value.id);
    if (!taken) return this.save(read.value);
    const there = this.#read(taken);
    if (there.ok && writeChartText(there.value) === writeChartText(read.value)) return read;
    return this.save({ ...read.value, id: this.#options.newId() });
  }

  remove(id: string): Result<null> {
    const entry = this.#find(id);
    if (!entry) return fail(notThere(id));
    try {
      assertHere(this.#options.folder);
      this.#deleted.take(entry.file, this.#options.now());
      return ok(null);
    } catch (error) {
      return fail(notSaved(error));
    }
  }

  restore(id: string): Result<Chart> {
    try {
      assertHere(this.#options.folder);
      const target = this.#deleted.giveBack(id, this.#charts);
      if (target === undefined) return fail(notThere(id));
      const entry = readEntry(target, stampOf(target)!);
      this.#known = new Map(this.#known).set(target, entry);
      return this.open(entry.id);
    } catch (error) {
      return fail(notSaved(error));
    }
  }

  /**
   * Reads every file that was not read yet, to find its mistake, and copies those that changed since their last
   * copy; what was changed last comes first, and between two of them the folder may be used.
   * @param found is told as soon as there is something to tell, and once more at the end
   */
  async lookThrough(found: () => void): Promise<void> {
    let [before, since] = [this.#news.found, 0];
    const tell = (often: number): void => {
      if (this.#news.found === before || performance.now() - since < often) return;
      found();
      [before, since] = [this.#news.found, performance.now()];
    };
    for (const entry of this.#look().toSorted(newestFirst)) {
      if (entry.trouble || stampOf(entry.file) !== entry.stamp) continue;
      if (!this.#news.knows(entry)) this.#read(entry);
      attempt(() => {
        if (!this.#versions.holds(entry.id, entry.file)) this.#keepVersion(entry);
      });
      tell(TOLD_MS);
      await setImmediate();
    }
    tell(0);
  }

  /** Earlier texts of a chart, newest first. */
  versionsOf(id: string): readonly (ChartVersion & { readonly same: boolean; title: string })[] {
    const entry = this.#find(id);
    const now = entry && attempt(() => readText(entry.file));
    return this.#versions.of(id).map((one) => {
      const text = readText(one.file);
      return { ...one, same: text === now, title: readChartHead(text).title ?? id };
    });
  }

  /** Charts in the copies that are neither in the library nor among the deleted ones. */
  lost(): readonly (ChartVersion & { readonly id: string; readonly title: string })[] {
    const here = [...this.#look(), ...this.#deleted.entries()].map(({ id }) => id);
    return this.#versions.others(new Set(here));
  }

  /** What is typed of an earlier text. */
  versionText(id: string, at: string): Result<string> {
    const version = this.#versions.of(id).find((one) => one.at === at);
    return version ? ok(typedText(readText(version.file))) : fail(noCopy(at));
  }

  /** An earlier text takes the chart's place; the present one becomes a copy. A text with a mistake stays a copy. */
  bringBack(id: string, at: string): Result<Chart> {
    const version = this.#versions.of(id).find((one) => one.at === at);
    if (!version) return fail(noCopy(at));
    const read = readChartText(readText(version.file), id);
    if (!read.ok) return read;
    const entry = this.#find(id);
    if (entry) {
      this.#copyVersion(entry);
      this.#opened.set(id, entry.stamp);
    }
    return this.save({ ...read.value, id });
  }

  /** Every file of the library and of the deleted charts, with its place in an archive; and those that cannot be read. */
  files() {
    const all = [...this.#look(), ...this.#deleted.entries()];
    const packed = all
      .filter(({ trouble }) => !trouble)
      .map(({ file }) => ({
        name: `${path.basename(path.dirname(file))}/${path.basename(file)}`,
        file,
      }));
    return { packed, problems: all.flatMap(({ trouble }) => trouble ?? []) };
  }

  /** How each of these texts stands beside the library. One that was brought in before stands beside another. */
  beside(texts: readonly { readonly id?: string; readonly text: string }[]): readonly Beside[] {
    const byId = Map.groupBy(this.#look(), ({ id, copyOf }) => copyOf ?? id);
    const bySize = Map.groupBy(this.#known.values(), ({ stamp }) => stamp.split(' ')[1]!);
    return texts.map(({ id, text }) => {
      const alike = bySize.get(String(Buffer.byteLength(text))) ?? [];
      if (alike.some(({ file }) => attempt(() => readText(file)) === text)) return 'same';
      return id !== undefined && byId.has(id) ? 'other' : 'new';
    });
  }

  /** Puts texts into the library as files of their own, whatever they hold, under names that are free. Returns the files. */
  addTexts(all: readonly { readonly name: string; readonly text: string }[]): Result<string[]> {
    try {
      assertHere(this.#options.folder);
      makeFolder(this.#charts);
      const files = all.map(({ name, text }) => {
        const file = freeFile(this.#charts, fileName(name));
        writeFileSync(file, text, { mode: 0o600, fsync: true });
        return file;
      });
      this.#look();
      return ok(files);
    } catch (error) {
      return fail(notSaved(error));
    }
  }

  /** Takes those files out that still hold what {@link addTexts} wrote; returns how many stayed. */
  takeOutTexts(all: readonly { readonly file: string; readonly text: string }[]): number {
    assertHere(this.#options.folder);
    const changed = all.filter(({ file, text }) => attempt(() => readText(file)) !== text);
    for (const one of all) if (!changed.includes(one)) fs.rmSync(one.file);
    this.#look();
    return changed.filter(({ file }) => fs.existsSync(file)).length;
  }

  /** Calls back when files were changed by others. Returns the function that stops watching. */
  watch(changed: () => void): () => void {
    return watchFolder(this.#charts, () => {
      const before = this.#known;
      const entries = this.#look();
      const other = entries.filter(({ file, stamp }) => before.get(file)?.stamp !== stamp);
      if (other.length === 0 && entries.length === before.size) return;
      for (const entry of other) if (!entry.trouble) this.#read(entry);
      changed();
    });
  }

  // A version made by a syncing program is itself the copy.
  #keepVersion({ id, file, copyOf }: ChartEntry): void {
    if (copyOf === undefined) attempt(() => this.#versions.keep(id, file, this.#options.now()));
  }

  #copyVersion({ id, file, copyOf }: ChartEntry): void {
    if (copyOf === undefined) attempt(() => this.#versions.copy(id, file));
  }

  #begin(): void {
    try {
      makeFolder(this.#charts);
      for (const chart of this.#options.demo()) this.#write(chart, undefined);
    } catch (error) {
      this.#news.add(notSaved(error));
    }
  }

  #look(): readonly ChartEntry[] {
    try {
      const entries = indexCharts(this.#charts, this.#known);
      this.#known = new Map(entries.map((entry) => [entry.file, entry]));
      return entries;
    } catch (error) {
      this.#news.add(unreadable(this.#charts, error));
      return [];
    }
  }

  #knownAs(id: string): ChartEntry | undefined {
    for (const entry of this.#known.values()) if (entry.id === id) return entry;
    return undefined;
  }

  /** The folder is looked through again where the file is not as it was. */
  #find(id: string): ChartEntry | undefined {
    const known = this.#knownAs(id);
    if (known && stampOf(known.file) === known.stamp) return known;
    return this.#look().find((entry) => entry.id === id);
  }

  #read(entry: ChartEntry): Result<Chart> {
    const read = readWhole(entry);
    this.#compare(entry);
    this.#news.note(entry, read);
    return read;
  }

  /** Tells once of a text that somebody else, or a fault of the disk, made of the one that was here last. */
  #compare(entry: ChartEntry): void {
    const { id, file, title, copyOf } = entry;
    if (this.#news.knows(entry) || copyOf !== undefined) return;
    attempt(() => {
      const text = readText(file);
      const known = this.#versions.isMarked(id, text);
      if (known === true) return;
      if (known === false && this.#versions.differs(id, file))
        this.#news.add(changedUnseen(title, file));
      else if (known === false) this.#news.addChanged(title);
      this.#versions.mark(id, text);
    });
  }

  #listed(entry: ChartEntry): ListedChart {
    const listed: Partial<ChartEntry> & ListedChart = { ...entry };
    for (const own of ['file', 'stamp', 'trouble'] as const) delete listed[own];
    return this.#news.isFlawed(entry) ? { ...listed, flawed: true } : listed;
  }

  /** Writes first, then lets a file of the chart's earlier title go. */
  #write(chart: Chart, before: ChartEntry | undefined): void {
    const text = writeChartText(chart);
    const read = readChartText(text, chart.id);
    if (!read.ok) throw new Error(`it could not be read back: ${read.problems[0]!.message}`);
    const file =
      before && bears(before.file, chart.title)
        ? before.file
        : freeFile(this.#charts, fileName(chart.title), before?.file);
    writeFileSync(file, text, { mode: 0o600, fsync: true });
    attempt(() => this.#versions.mark(chart.id, text));
    if (before && before.file !== file) fs.rmSync(before.file, { force: true });
    const known = new Map(this.#known);
    if (before) known.delete(before.file);
    const stamp = stampOf(file)!;
    const entry = readEntry(file, stamp);
    this.#known = known.set(file, entry);
    this.#opened.set(chart.id, stamp);
    this.#news.note(entry, read);
  }

  /** Somebody has changed the file meanwhile: theirs is kept beside ours, and said. */
  #keepOther(entry: ChartEntry): void {
    const day = isoTimeOf(this.#options.now()).slice(0, 10);
    const name = path.basename(entry.file, CHART_SUFFIX);
    const other = freeFile(this.#charts, `${name} (changed elsewhere ${day})`);
    fs.renameSync(entry.file, other);
    this.#news.add(keptBoth(entry.title, other));
  }
}

const newestFirst = (a: ChartEntry, b: ChartEntry): number =>
  Number(BigInt(b.stamp.split(' ')[0]!) - BigInt(a.stamp.split(' ')[0]!));
