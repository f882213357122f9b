// One chart's file: its text within bounds, the chart in it, and a name that is free.
import fs from 'node:fs';
import path from 'node:path';
import { fail, ok, type Result } from '../../../core/base/result.ts';
import { CHART_SUFFIX, readChartText } from '../../../core/chart/notation/chart-text.ts';
import type { Chart } from '../../../core/model/chart.ts';
import { assertFile } from '../store/durable.ts';
import { fileName, freeName } from '../store/file-name.ts';
import { type ChartEntry, stampOf } from './chart-index.ts';
import { unreadable } from './chart-problems.ts';

/** Largest text that is opened, in bytes: many times the longest chart. */
const MOST_BYTES = 4_000_000;

/** Fails with what is wrong in its text, or with `chart-unreadable`. */
export function readWhole({ file, id }: ChartEntry): Result<Chart> {
  try {
    const read = readChartText(readText(file), id);
    return read.ok ? ok({ ...read.value, id }) : read;
  } catch (error) {
    return fail(unreadable(file, error));
  }
}

/** @throws Error for a file that is no chart by its size or its bytes. */
export function readText(file: string): string {
  assertFile(file);
  const { size } = fs.statSync(file);
  if (size > MOST_BYTES) throw new Error(`it has ${size} bytes, and no chart is so long`);
  return fs.readFileSync(file, 'utf8');
}

/** Is the file called by this title, or by it and a number? */
export const bears = (file: string, title: string): boolean =>
  path
    .basename(file, CHART_SUFFIX)
    .replace(/ \(\d+\)$/, '')
    .toLowerCase() === fileName(title).toLowerCase();

/** A name nobody has yet. @param own may be had. */
export function freeFile(folder: string, name: string, own?: string): string {
  const fileOf = (one: string): string => path.join(folder, `${one}${CHART_SUFFIX}`);
  const isTaken = (one: string): boolean =>
    fileOf(one) !== own && stampOf(fileOf(one)) !== undefined;
  return fileOf(freeName(name, isTaken));
}
