// The chart library as a kind of document: what a chart is and how it is read comes from core.
import type { Chart } from '../core/chart/model.ts';
import { parseChart } from '../core/chart/schema.ts';
import type { DocumentKind } from './store/documents.ts';

/** @param demo The charts a new data directory starts with. */
export const chartKind = (demo: readonly Chart[]): DocumentKind<Chart> => ({
  what: 'the charts',
  one: 'chart',
  schemaVersion: 1,
  migrations: [],
  idOf: (chart) => chart.id,
  parse: parseChart,
  seed: () => demo,
});
