// A chart that stands beside this file, by its name.
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { unwrap } from '../../../app/core/base/result.ts';
import { readChartText } from '../../../app/core/chart/notation/chart-text.ts';
import type { Chart } from '../../../app/core/model/chart.ts';

export const chartOf = (name: string): Chart =>
  unwrap(
    readChartText(readFileSync(path.join(import.meta.dirname, `${name}.chart.txt`), 'utf8'), name),
  );
