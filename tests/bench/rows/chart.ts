// How long a chart of 200 bars takes to read while it is typed, and to go out to MusicXML and come back.
import * as io from 'musicxml-io';
import type { ChartBody } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { readMusicXml } from '../../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../../app/core/exchange/musicxml/write/write.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { type BenchRow, quantile, timeRuns } from '../bench.ts';

const RUNS = 30;

/** Five sections of 40 bars with changes, pins, strums and split beats; played as written, 200 bars. */
function longText(): string {
  const line = '| G / D / | Em7 (/ C) / / | % | Am7[575555] / / D7 |\n';
  const sections = ['A', 'B', 'C', 'D', 'E'].map(
    (name) => `[${name}]\nstrum: eighths D- D>U -U DU\n${line.repeat(10)}`,
  );
  return `title: Long\ntempo: ♩ = 120\nmeter: 4/4\n${sections.join('\n')}`;
}

const longChart = (): ChartBody => unwrap(parseChart(longText()));

async function median(work: () => unknown): Promise<number> {
  return quantile(await timeRuns(RUNS, work), 0.5);
}

export const rows: BenchRow[] = [
  {
    name: 'chart-typed',
    what: 'a typed chart of 200 bars read and checked, as at every keystroke',
    unit: 'ms',
    goal: { at: '<=', value: 16 },
    measure: async () => {
      const text = longText();
      return { value: await median(() => parseChart(text)), note: 'median; 16 ms is one frame' };
    },
  },
  {
    name: 'chart-units',
    what: 'all units of a chart of 200 bars resolved',
    unit: 'ms',
    measure: async () => {
      const chart = longChart();
      const count = listUnits({ id: 'long', ...chart }).length;
      const value = await median(() => listUnits({ id: 'long', ...chart }));
      return { value, note: `${count} units, median` };
    },
  },
  {
    name: 'musicxml-out',
    what: 'a chart of 200 bars written as MusicXML; the peer prints the same score',
    unit: 'ms',
    measure: async () => {
      const chart = longChart();
      const score = io.parse(unwrap(writeMusicXml(chart)));
      const value = await median(() => writeMusicXml(chart));
      const peer = await median(() => io.serialize(score));
      return { value, peer: { name: 'musicxml-io', value: peer }, note: 'median' };
    },
  },
  {
    name: 'musicxml-in',
    what: 'a MusicXML score of 200 bars read as a chart; the peer reads the same file',
    unit: 'ms',
    measure: async () => {
      const file = unwrap(writeMusicXml(longChart()));
      const value = await median(() => readMusicXml(file));
      const peer = await median(() => io.parse(file));
      const note = `${Math.round(file.length / 1000)} kB, median; the peer finds no sections or form`;
      return { value, peer: { name: 'musicxml-io', value: peer }, note };
    },
  },
];
