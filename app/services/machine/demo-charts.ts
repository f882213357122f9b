// The charts that a new library starts with: our own inventions, read from assets/charts in the typed notation.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Chart } from '../../core/model/chart.ts';
import { parseChart } from '../../core/chart/notation/parse.ts';
import { unwrap } from '../../core/base/result.ts';

/** Where the charts lie beside the sources. A built program is one file in another place, and says where they are. */
const beside = (): string => fileURLToPath(new URL('../../../assets/charts', import.meta.url));

/**
 * From the first chords on, each a little harder: four open chords, one a bar; two in a bar; in three, with an F.
 * Then slow and in compound time; in the middle and swung; fast, with hardly an open chord. The identities come of
 * the names and stay, so that practice on a demo chart is found again.
 */
const NAMES = [
  'rain-on-the-kettle',
  'a-lamp-for-the-bicycle',
  'seven-chairs',
  'low-tide-lanterns',
  'paper-streetcar',
  'copper-staircase',
] as const;

/** @param folder Of the charts' files. */
export const demoCharts = (folder = beside()): readonly Chart[] =>
  NAMES.map((name) => {
    const text = fs.readFileSync(path.join(folder, `${name}.txt`), 'utf8');
    return { id: `demo-${name}`, ...unwrap(parseChart(text)) };
  });
