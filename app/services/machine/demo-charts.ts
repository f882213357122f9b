// The charts that a new library starts with: our own inventions, read from assets/charts in the typed notation.
import fs from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Chart } from '../../core/model/chart.ts';
import { parseChart } from '../../core/chart/notation/parse.ts';
import { unwrap } from '../../core/base/result.ts';

/** Two folders up stands the program's own folder, from here and from the built main process alike. */
const FOLDER = new URL('../../../assets/charts/', import.meta.url);

/**
 * Slow and in compound time; in the middle and swung; fast, with hardly an open chord. The identities
 * come of the names and stay, so that practice on a demo chart is found again.
 */
const NAMES = ['low-tide-lanterns', 'paper-streetcar', 'copper-staircase'] as const;

export const demoCharts = (): readonly Chart[] =>
  NAMES.map((name) => ({ id: `demo-${name}`, ...unwrap(parseChart(textOf(name))) }));

const textOf = (name: string): string =>
  fs.readFileSync(fileURLToPath(new URL(`${name}.txt`, FOLDER)), 'utf8');
