// Drew the charts of charts.txt, once: 200 short ones from a seed. They stay as they are, whatever draws charts later.
import fs from 'node:fs';
import fc from 'fast-check';
import { checkChart } from '../../../app/core/chart/check.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import type { ChartBody } from '../../../app/core/model/chart.ts';
import { plainCharts } from '../../unit/chart/plain-charts.ts';
import { BETWEEN, CHARTS } from './charts.ts';

/** Its first section, once. */
function short({ sections, ...chart }: ChartBody): ChartBody {
  const first = sections[0]!;
  return { ...chart, sections: [first], form: [{ section: first.name, times: 1 }] };
}

const drawn = fc
  .sample(plainCharts, { numRuns: 400, seed: 20_310_611 })
  .map(short)
  .filter((chart) => checkChart(chart).length === 0)
  .slice(0, 200);
// Without the spaces that line columns up.
const texts = drawn.map((chart) => printChart(chart).replace(/ +/g, ' ').replace(/ $/gm, ''));
fs.writeFileSync(CHARTS, texts.join(BETWEEN));
