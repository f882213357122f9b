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

/** @see ListedChart for what its head says. */
export interface ChartEntry extends ListedChart {
  readonly file: string;
  /** Changes whenever the file does. */
  readonly stamp: string;
}

/** As much of a file as its head may take. */
const HEAD_BYTES = 4096;

/** Entries by file of an earlier look; those whose file is as it was are taken over. */
export type Known = ReadonlyMap<string, ChartEntry>;

/** In the order of their titles, then of their files. A file that cannot be looked at is left out. */
export function indexCharts(folder: string, known: Known): readonly ChartEntry[] {
  const entries = filesIn(folder).flatMap((file): ChartEntry[] => {
    const stamp = stampOf(file);
    if (stamp === undefined) return [];
    const before = known.get(file);
    return [before?.stamp === stamp ? ownId(before) : readEntry(file, stamp)];
  });
  return apart(entries).toSorted(
    (a, b) => a.title.localeCompare(b.title, 'en') || a.file.localeCompare(b.file, 'en'),
  );
}

const filesIn = (folder: string): string[] =>
  fs.existsSync(folder)
    ? fs
        .readdirSync(folder)
        .filter((name) => name.endsWith(CHART_SUFFIX) && !name.startsWith('.'))
        .map((name) => path.join(folder, name))
    : [];

export function stampOf(file: string): string | undefined {
  const stat = fs.statSync(file, { throwIfNoEntry: false, bigint: true });
  return stat?.isFile() ? `${stat.mtimeNs} ${stat.size} ${stat.ino}` : undefined;
}

export function readEntry(file: string, stamp: string): ChartEntry {
  const { text, whole } = startOf(file);
  const { id, title, ...head } = readChartHead(text);
  const name = path.basename(file, CHART_SUFFIX);
  return {
    ...head,
    ...(whole ? { sections: countSections(text) } : {}),
    id: id ?? `file-${short(name)}`,
    title: title ?? name,
    file,
    stamp,
  };
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
