// A chart out of a file of either form: the typed notation, or the older one in JSON.
import type { Result } from '../../base/result.ts';
import type { Chart } from '../../model/chart.ts';
import { readChartFile } from '../chart-file.ts';
import { readChartText } from './chart-text.ts';

/** @param id of a text that does not say. */
export const readAnyChart = (text: string, id: string): Result<Chart> =>
  /^\uFEFF?\s*\{/.test(text) ? readChartFile(text) : readChartText(text, id);
