// Charts as they go from machine to machine: the text of each file, word for word.
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import { readChartHead } from '../../../../core/chart/notation/chart-text.ts';
import type { Json } from '../../../../core/exchange/shared/facts.ts';
import { freeFile } from '../../charts/chart-file.ts';
import { NO_FILE } from '../../charts/chart-problems.ts';
import { type ChartEntry, indexCharts, type Known } from '../../charts/chart-index.ts';
import { ChartVersions } from '../../charts/chart-versions.ts';
import { fileName } from '../../store/file-name.ts';
import { hashOf, type Traveller, type Value } from './traveller.ts';

export const CHART = 'chart:';

interface ChartsAround {
  /** The data folder. */
  readonly directory: string;
  /** Puts a chart among the removed ones. */
  readonly remove: (id: string) => unknown;
}

/** Versions that a syncing program made beside a chart stay where they are. */
export function chartsTravel({ directory, remove }: ChartsAround): Traveller {
  const folder = path.join(directory, 'charts');
  const versions = new ChartVersions(directory);
  let known: Known = new Map();
  const hashes = new Map<string, string>();
  const look = (): readonly ChartEntry[] => {
    const entries = indexCharts(folder, known);
    known = new Map(entries.map((entry) => [entry.file, entry]));
    // A chart that cannot be read now is not taken for one that is gone.
    const closed = entries.find(({ trouble }) => trouble && trouble.code !== NO_FILE);
    if (closed) throw new Error(closed.trouble!.message);
    return entries.filter(({ copyOf, trouble }) => copyOf === undefined && !trouble);
  };
  const valueOf = ({ id, file, stamp }: ChartEntry): Value => {
    const read = (): string => withId(id, fs.readFileSync(file, 'utf8'));
    const mark = `${file} ${stamp}`;
    const hash = hashes.get(mark) ?? hashOf(read());
    hashes.set(mark, hash);
    return { hash, read };
  };
  const take = (id: string, text: Json, here: ChartEntry | undefined): void => {
    if (here) versions.copy(id, here.file);
    if (typeof text !== 'string') {
      if (here) remove(id);
      return;
    }
    const file = here?.file ?? freeFile(folder, fileName(readChartHead(text).title ?? id));
    writeFileSync(file, text, { mode: 0o600, fsync: true });
  };
  return {
    prefixes: [CHART],
    values: () => new Map(look().map((entry) => [`${CHART}${entry.id}`, valueOf(entry)])),
    take: (values) => {
      const entries = new Map(look().map((entry) => [entry.id, entry]));
      for (const [key, text] of values) {
        const id = key.slice(CHART.length);
        take(id, text, entries.get(id));
      }
    },
  };
}

/** A file without a line for its id goes by its name here, and elsewhere by the id it has here. */
const withId = (id: string, text: string): string =>
  readChartHead(text).id === undefined ? `id: ${id}\n${text}` : text;
