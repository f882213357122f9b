// The charts whose music is compared: the demos, and 200 random ones as they were typed out.
import fs from 'node:fs';
import { fileURLToPath } from 'node:url';
import { unwrap } from '../../../app/core/base/result.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';

export const CHARTS = fileURLToPath(new URL('charts.txt', import.meta.url));
/** A line that no chart has. */
export const BETWEEN = '\n# -- next chart --\n';

export const demos = demoCharts();

export const randomCharts = (): readonly Chart[] =>
  fs
    .readFileSync(CHARTS, 'utf8')
    .split(BETWEEN)
    .map((text, i) => ({ id: `random-${i + 1}`, ...unwrap(parseChart(text)) }));
