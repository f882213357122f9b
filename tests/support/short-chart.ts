// A chart of one short section, a chord a bar, fast enough for a ladder that ends within seconds.
import type { Chart } from '../../app/core/model/chart.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { parseChart } from '../../app/core/chart/notation/parse.ts';

export const shortChart = (id: string, title: string, ...chords: string[]): Chart => ({
  ...unwrap(parseChart(`title: ${title}\ntempo: 400\n\n[Verse]\n| ${chords.join(' | ')} |\n`)),
  id,
});
