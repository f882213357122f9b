// Reports of one student that came one after another, as one: of what stands in several the latest counts.
import { inTimeOrder } from '../../log/history.ts';
import type { PracticeReport } from './report.ts';

/** @param reports at least one, in the order in which they were written */
export function gatherReports(reports: readonly PracticeReport[]): PracticeReport {
  const latest = <T>(
    of: (report: PracticeReport) => readonly T[],
    name: (one: T) => string,
  ): T[] => [...new Map(reports.flatMap(of).map((one) => [name(one), one])).values()];
  return {
    ...reports.at(-1)!,
    charts: latest(
      ({ charts }) => charts,
      ({ id }) => id,
    ),
    assignments: latest(
      ({ assignments }) => assignments,
      ({ id }) => id,
    ),
    units: latest(
      ({ units }) => units,
      ({ fingerprint }) => fingerprint,
    ),
    passes: inTimeOrder(
      latest(
        ({ passes }) => passes,
        ({ id }) => id,
      ),
    ),
    owned: latest(
      ({ owned }) => owned,
      ({ chart, unit }) => `${chart.id}\n${unit.key}`,
    ),
    questions: latest(
      ({ questions }) => questions,
      ({ id }) => id,
    ),
  };
}
