// Earlier texts of charts, kept by chart and time: what was saved over, or deleted by another program, can come back.
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { crc32 } from 'node:zlib';
import { CHART_SUFFIX, readChartHead } from '../../../core/chart/notation/chart-text.ts';
import { namesIn } from '../store/durable.ts';
import { makeFolder } from '../store/make-folder.ts';
import { worthKeeping } from '../store/retention.ts';

/** A text that stood at least so long is kept; of one working over, what the day began with. */
const STOOD_MS = 10 * 60_000;
const KEPT_LATEST = 5;

export interface ChartVersion {
  /** `YYYYMMDDTHHMMSSmmm` in UTC: when the text was saved. */
  readonly at: string;
  readonly file: string;
}

export class ChartVersions {
  readonly #folder: string;

  constructor(dataFolder: string) {
    this.#folder = path.join(dataFolder, 'backups', 'charts');
  }

  /** Copies the file as it stands, unless it was just saved; the first text of a day is copied even so. */
  keep(id: string, file: string, now: Date): void {
    const { mtime } = fs.statSync(file);
    const day = stampOf(mtime).slice(0, 8);
    const begins = !this.of(id).some((one) => dayOf(one) === day);
    if (begins || now.getTime() - mtime.getTime() >= STOOD_MS) this.copy(id, file);
  }

  /** Copies the file as it stands, unless its copy is there. */
  copy(id: string, file: string): void {
    const at = stampOf(fs.statSync(file).mtime);
    if (this.of(id).some((one) => one.at === at)) return;
    const folder = this.#folderOf(id);
    makeFolder(folder);
    const to = path.join(folder, `${at}${CHART_SUFFIX}`);
    const part = `${to}.part`;
    fs.copyFileSync(file, part);
    fs.chmodSync(part, 0o600);
    fs.renameSync(part, to);
    this.#thin(id);
  }

  /** Is the text of this file among the copies, by the time at which it was saved? */
  holds(id: string, file: string): boolean {
    return fs.existsSync(this.#copyFor(id, file));
  }

  /** Is the text of this file another one than its copy, although nothing has saved it since? */
  differs(id: string, file: string): boolean {
    const copy = this.#copyFor(id, file);
    return fs.existsSync(copy) && !fs.readFileSync(copy).equals(fs.readFileSync(file));
  }

  #copyFor(id: string, file: string): string {
    return path.join(this.#folderOf(id), `${stampOf(fs.statSync(file).mtime)}${CHART_SUFFIX}`);
  }

  /** Notes which text of the chart was written or read last, so that another one is noticed whenever it came. */
  mark(id: string, text: string): void {
    makeFolder(this.#folderOf(id));
    fs.writeFileSync(this.#markFor(id), sumOf(text), { mode: 0o600 });
  }

  /** Is this the text that was noted last? Undefined where none was. */
  isMarked(id: string, text: string): boolean | undefined {
    const file = this.#markFor(id);
    return fs.existsSync(file) ? fs.readFileSync(file, 'utf8') === sumOf(text) : undefined;
  }

  #markFor(id: string): string {
    return path.join(this.#folderOf(id), 'last');
  }

  /** Newest first. */
  of(id: string): readonly ChartVersion[] {
    return versionsIn(this.#folderOf(id));
  }

  /** The newest text of every chart that has one and whose id is not among these. */
  others(ids: ReadonlySet<string>): readonly (ChartVersion & { id: string; title: string })[] {
    const here = new Set([...ids].map(short));
    return namesIn(this.#folder)
      .filter((name) => !here.has(name))
      .flatMap((name) => {
        const [newest] = versionsIn(path.join(this.#folder, name));
        if (!newest) return [];
        const { id, title } = readChartHead(fs.readFileSync(newest.file, 'utf8'));
        return id === undefined ? [] : [{ ...newest, id, title: title ?? id }];
      });
  }

  #folderOf(id: string): string {
    return path.join(this.#folder, short(id));
  }

  #thin(id: string): void {
    const all = this.of(id);
    const kept = new Set([...all.slice(0, KEPT_LATEST), ...worthKeeping(all, isoDay)]);
    for (const one of all) if (!kept.has(one)) fs.rmSync(one.file, { force: true });
  }
}

const versionsIn = (folder: string): readonly ChartVersion[] =>
  namesIn(folder)
    .filter((name) => name.endsWith(CHART_SUFFIX))
    .map((name) => ({
      at: name.slice(0, -CHART_SUFFIX.length),
      file: path.join(folder, name),
    }))
    .sort((a, b) => b.at.localeCompare(a.at));

const stampOf = (time: Date): string => time.toISOString().replace(/[-:.Z]/g, '');
const dayOf = ({ at }: ChartVersion): string => at.slice(0, 8);
const isoDay = ({ at }: ChartVersion): string =>
  `${at.slice(0, 4)}-${at.slice(4, 6)}-${at.slice(6, 8)}`;

/** The moment that a version's name says. */
export const momentOf = (at: string): Date =>
  new Date(
    `${at.slice(0, 4)}-${at.slice(4, 6)}-${at.slice(6, 8)}T${at.slice(9, 11)}:${at.slice(11, 13)}:${at.slice(13, 15)}.${at.slice(15, 18)}Z`,
  );

const sumOf = (text: string): string => crc32(text).toString(16);

const short = (text: string): string =>
  createHash('sha256').update(text).digest('hex').slice(0, 16);
