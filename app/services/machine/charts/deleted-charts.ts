// Deleted charts: files that were moved aside, the latest of which can be brought back.
import fs from 'node:fs';
import path from 'node:path';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { CHART_SUFFIX } from '../../../core/chart/notation/chart-text.ts';
import type { ChartLibrary } from '../../contract/contract.ts';
import { attempt } from '../store/durable.ts';
import { makeFolder } from '../store/make-folder.ts';
import { freeFile } from './chart-file.ts';
import { type ChartEntry, indexCharts } from './chart-index.ts';

/** Those that can still be brought back. */
const KEPT = 50;

export class DeletedCharts {
  readonly #folder: string;

  constructor(dataFolder: string) {
    this.#folder = path.join(dataFolder, 'removed-charts');
  }

  /** Deleted last comes first. */
  entries(): readonly ChartEntry[] {
    // What cannot be read there hides no chart of the library.
    const all = attempt(() => indexCharts(this.#folder, new Map())) ?? [];
    return all.toSorted((a, b) => deletedAt(b) - deletedAt(a));
  }

  listed(): ChartLibrary['removed'] {
    return this.entries().map((entry) => ({
      id: entry.id,
      title: entry.title,
      at: isoTimeOf(new Date(deletedAt(entry))),
    }));
  }

  /** @throws Error where the file could not be moved. */
  take(file: string, now: Date): void {
    makeFolder(this.#folder);
    const target = freeFile(this.#folder, path.basename(file, CHART_SUFFIX));
    fs.renameSync(file, target);
    fs.utimesSync(target, now, now);
    const old = this.entries().slice(KEPT);
    for (const { file, trouble } of old) if (!trouble) fs.rmSync(file);
  }

  /** Moves the file into that folder, and returns where it is now; undefined where there is none. */
  giveBack(id: string, folder: string): string | undefined {
    const entry = this.entries().find((one) => one.id === id);
    if (!entry) return undefined;
    const target = freeFile(folder, path.basename(entry.file, CHART_SUFFIX));
    fs.renameSync(entry.file, target);
    return target;
  }
}

const deletedAt = ({ file }: ChartEntry): number => attempt(() => fs.lstatSync(file).mtimeMs) ?? 0;
