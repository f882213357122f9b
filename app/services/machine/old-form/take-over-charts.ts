// The charts of the earlier form, one JSON file for all, become text files: each is read back before the old file is put away.
import fs from 'node:fs';
import path from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import { checked } from '../../../core/base/checked.ts';
import { chartSchema } from '../../../core/chart/schema.ts';
import type { Problem } from '../../../core/base/result.ts';
import { type ChartFolder, OLD_CHARTS } from '../charts/chart-folder.ts';
import type { SafeKeeping } from '../store/backups.ts';
import { type FileKind, readStoreFile } from '../store/store-file.ts';
import { inWords } from '../store/durable.ts';
import { putAway } from './take-over.ts';

interface Shelf {
  readonly items: readonly unknown[];
  readonly removed: readonly { readonly item: unknown }[];
}

const shelfKind: FileKind<Shelf> = {
  what: 'the charts',
  schemaVersion: 1,
  migrations: [],
  flaw: ({ items, removed }) =>
    Array.isArray(items) && Array.isArray(removed) ? undefined : '‘items’ is not a list',
  empty: () => ({ items: [], removed: [] }),
};

/** Returns what could not be taken over. The old file is then put away; it stays where the disk refused. */
export function takeOverCharts(charts: ChartFolder, keeping: SafeKeeping): readonly Problem[] {
  const file = path.join(keeping.root, OLD_CHARTS);
  if (!fs.existsSync(file)) return [];
  const { value, problems, writable } = readStoreFile(file, shelfKind, keeping);
  if (!writable) return problems;
  const flawed = [...problems];
  try {
    // Oldest first, so that the newest is again on top.
    for (const { item } of value.removed.toReversed()) {
      const id = takeOne(charts, item, flawed);
      if (id !== undefined) charts.remove(id);
    }
    for (const item of value.items) takeOne(charts, item, flawed);
    if (fs.existsSync(file)) putAway(file, keeping.root);
  } catch (error) {
    flawed.push(notTaken(file, inWords(error)));
  }
  return flawed;
}

/** Its id; undefined, and told, where it cannot be understood. @throws Error where a chart cannot be written. */
function takeOne(charts: ChartFolder, item: unknown, flawed: Problem[]): string | undefined {
  const parsed = checked(chartSchema, item);
  if (!parsed.success) {
    flawed.push(strange(item));
    return undefined;
  }
  const saved = charts.save(parsed.data);
  if (!saved.ok) throw new Error(saved.problems[0]!.message);
  const back = charts.open(parsed.data.id);
  if (!back.ok || !isDeepStrictEqual(back.value, parsed.data)) {
    throw new Error(`‘${parsed.data.title}’ is not the same as text`);
  }
  return parsed.data.id;
}

const strange = (item: unknown): Problem => ({
  code: 'document-not-understood',
  message: `One of the earlier charts${titleOf(item)} could not be understood and was not taken over.`,
  cure: 'It is kept in old-form/charts.json in the data folder.',
});

const titleOf = (item: unknown): string =>
  typeof item === 'object' && item !== null && 'title' in item && typeof item.title === 'string'
    ? ` (‘${item.title.slice(0, 80)}’)`
    : '';

const notTaken = (file: string, why: string): Problem => ({
  code: 'not-taken-over',
  message: `The earlier charts in ${file} could not all be taken over: ${why}. The file was left as it is.`,
  cure: 'Make room on the disk or allow writing to the data folder, then start Rungwise again.',
});
