// A title that no other chart has.
import type { Chart } from '../../../app/core/model/chart.ts';

/** The title itself, or with the first number that makes it new. */
export function freeTitle(title: string, charts: readonly Pick<Chart, 'title'>[]): string {
  const taken = new Set(charts.map((chart) => chart.title));
  if (!taken.has(title)) return title;
  for (let n = 2; ; n++) if (!taken.has(`${title} ${n}`)) return `${title} ${n}`;
}
