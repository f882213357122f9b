// Which charts stand in a folder of text files: heads alone are read, and a file only again when it has changed.
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import type { ListedChart } from '../../contract/contract.ts';
import {
  CHART_SUFFIX,
  countSections,
  readChartHead,
} from '../../../core/chart/notation/chart-text.ts';
import type { Problem } from '../../../core/base/result.ts';
import { attempt } from '../store/durable.ts';
import { noFile, unreadable } from './chart-problems.ts';

/** @see ListedChart for what its head says. */
export interface ChartEntry extends ListedChart {
  readonly file: string;
  /** Changes whenever the file does. */
  readonly stamp: string;
  /** What stands there cannot be read: a folder, a link to nothing, a file that is closed to this program. */
  readonly trouble?: Problem;
}

/** As much of a file as its head may take. */
const HEAD_BYTES = 4096;

/** Entries by file of an earlier look; those whose file is as it was are taken over. */
export type Known = ReadonlyMap<string, ChartEntry>;

/** In the order of their titles, then of their files. */
export function indexCharts(folder: string, known: Known): readonly ChartEntry[] {
  const entries = filesIn(folder).flatMap((file): ChartEntry[] => {
    const stamp = stampOf(file);
    if (stamp === undefined) return [];
    const before = known.get(file);
    return [before?.stamp === stamp && !before.trouble ? ownId(before) : readEntry(file, stamp)];
  });
  return apart(entries).toSorted(
    (a, b) => a.title.localeCompare(b.title, 'en') || a.file.localeCompare(b.file, 'en'),
  );
}

const filesIn = (folder: string): string[] =>
  namesIn(folder)
    .filter((name) => name.endsWith(CHART_SUFFIX))
    .map((name) => path.join(folder, name));

const namesIn = (folder: string): string[] =>
  fs.existsSync(folder) ? fs.readdirSync(folder).filter((name) => !name.startsWith('.')) : [];

/** Names of texts and scores in the folder that are no charts by their names; they were surely meant to be. */
export const strangersIn = (folder: string): readonly string[] =>
  (attempt(() => namesIn(folder)) ?? [])
    .toSorted()
    .filter((name) => /\.(?:txt|musicxml|mxl|xml)$/iu.test(name) && !name.endsWith(CHART_SUFFIX));

/** Of the file, or of the link that leads nowhere; undefined where there is nothing. */
export function stampOf(file: string): string | undefined {
  const asked = { throwIfNoEntry: false, bigint: true } as const;
  const stat = attempt(() => fs.statSync(file, asked)) ?? attempt(() => fs.lstatSync(file, asked));
  return stat && `${stat.mtimeNs} ${stat.size} ${stat.ino}`;
}

/** What cannot be read is listed by its name. */
export function readEntry(file: string, stamp: string): ChartEntry {
  const name = path.basename(file, CHART_SUFFIX);
  const named = { id: `file-${short(name)}`, title: name, file, stamp };
  try {
    if (!fs.statSync(file).isFile()) return { ...named, unreadable: true, trouble: noFile(file) };
    const { text, whole } = startOf(file);
    const { id = named.id, title = name, ...head } = readChartHead(text);
    return { ...named, ...head, ...(whole ? { sections: countSections(text) } : {}), id, title };
  } catch (error) {
    return { ...named, unreadable: true, trouble: unreadable(file, error) };
  }
}

function startOf(file: string): { readonly text: string; readonly whole: boolean } {
  const bytes = Buffer.alloc(HEAD_BYTES);
  const handle = fs.openSync(file, 'r');
  try {
    const read = fs.readSync(handle, bytes, 0, HEAD_BYTES, 0);
    return { text: bytes.toString('utf8', 0, read), whole: read < HEAD_BYTES };
  } finally {
    fs.closeSync(handle);
  }
}

const short = (text: string): string =>
  createHash('sha256').update(text).digest('hex').slice(0, 12);

const ownId = ({ copyOf, ...entry }: ChartEntry): ChartEntry =>
  copyOf === undefined ? entry : { ...entry, id: copyOf };

/** Of several files with one id the one that bears its title alone keeps it; the others get ids of their own. */
function apart(entries: readonly ChartEntry[]): ChartEntry[] {
  return [...Map.groupBy(entries, ({ id }) => id).values()].flatMap((same) => {
    if (same.length === 1) return same;
    const [first, ...others] = same.toSorted(
      (a, b) => a.file.length - b.file.length || a.file.localeCompare(b.file),
    );
    return [
      first!,
      ...others.map((one) => ({
        ...one,
        id: `${one.id.slice(0, 40)}-copy-${short(path.basename(one.file))}`,
        copyOf: one.id,
      })),
    ];
  });
}
