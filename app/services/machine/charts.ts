// The chart library as a kind of document: what a chart is and how it is read comes from core.
import type { Chart } from '../../core/model/chart.ts';
import { problemsOfIssues } from '../../core/chart/schema-words.ts';
import { chartSchema } from '../../core/chart/schema.ts';
import { fail, ok } from '../../core/base/result.ts';
import type { DocumentKind } from './store/documents.ts';

/** @param demo The charts a new data directory starts with. */
export const chartKind = (demo: readonly Chart[]): DocumentKind<Chart> => ({
  what: 'the charts',
  one: 'chart',
  schemaVersion: 1,
  migrations: [],
  idOf: (chart) => chart.id,
  parse: (raw) => {
    const parsed = chartSchema.safeParse(raw);
    return parsed.success ? ok(parsed.data) : fail(...problemsOfIssues(parsed.error.issues, raw));
  },
  seed: () => demo,
});
