// Writes the chart files of versions before charts were text; the program only reads them.
import { CHART_FORMAT, CHART_SCHEMA_VERSION } from '../../app/core/chart/chart-file.ts';
import type { Chart } from '../../app/core/model/chart.ts';

export function writeChartFile(chart: Chart): string {
  const envelope = { format: CHART_FORMAT, schemaVersion: CHART_SCHEMA_VERSION, chart };
  return `${JSON.stringify(envelope, null, 2)}\n`;
}
