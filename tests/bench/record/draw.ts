// Runs in the browser for the bench: draws the tempo plot of many passes, and uPlot's own as the peer.
import uPlot from 'uplot';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { coloursIn } from '../../../renderer/screens/history/colours.ts';
import {
  ownedDays,
  tempoColumns,
  tempoSpan,
} from '../../../renderer/screens/history/tempo-data.ts';
import { tempoData, tempoOptions } from '../../../renderer/screens/history/tempo-plot.ts';

const RUNS = 7;
const SIZE = { width: 1100, height: 320 };

export interface DrawTimes {
  readonly ours: number[];
  readonly zoomed: number[];
  readonly peer: number[];
  readonly columns: number;
  readonly days: number;
}

/** Milliseconds until the canvas has been read back, so that the drawing is really done. */
export async function measure(count: number): Promise<DrawTimes> {
  const place = document.querySelector<HTMLElement>('#place')!;
  const passes = passesOf(count);
  const start = performance.now();
  const columns = tempoColumns(passes, 'quarter', 'time', [
    ...ownedDays(passes, passes, 'quarter'),
  ]);
  const columnsTime = performance.now() - start;
  const plot = {
    columns,
    target: 120,
    showRungs: true,
    showOwned: true,
    dateAt: () => '',
  };
  const data = tempoData(plot);
  const options = { ...tempoOptions(plot, coloursIn(place)), ...SIZE };
  const [from, to] = tempoSpan(columns);
  const ours = new uPlot(options, data, place);
  ours.setScale('x', { min: from, max: to });
  const peer = new uPlot(
    {
      ...SIZE,
      legend: { show: false },
      series: [{}, { stroke: 'black', points: { show: true, size: 4 } }],
    },
    [columns.x, columns.bpm] as unknown as uPlot.AlignedData,
    place,
  );
  return {
    ours: await times(ours),
    zoomed: await times(ours, () => ours.setScale('x', { min: to - (to - from) / 10, max: to })),
    peer: await times(peer),
    columns: columnsTime,
    days: columns.days.length,
  };
}

/** uPlot draws in the next microtask. */
async function times(plot: uPlot, before: () => void = () => undefined): Promise<number[]> {
  const taken: number[] = [];
  for (let run = 0; run < RUNS; run++) {
    before();
    await Promise.resolve();
    const start = performance.now();
    plot.redraw(true, true);
    await Promise.resolve();
    plot.ctx.getImageData(0, 0, 1, 1);
    taken.push(performance.now() - start);
  }
  return taken;
}

/** Passes 12 minutes apart around a growing tempo; the shapes spread as a real log's do. */
function passesOf(count: number): PassRecord[] {
  const first = Date.UTC(2021, 0, 1);
  return Array.from({ length: count }, (_, i) => {
    const bpm = 60 + Math.floor((40 * i) / count) + ((i * 7919) % 23);
    return {
      id: String(i),
      at: new Date(first + i * 720_000).toISOString(),
      session: '',
      climb: '',
      chart: { id: 'bench', title: 'Bench' },
      unit: { key: 'form', name: 'Form', fingerprint: 'fp' },
      rung: { bpm, beat: 'quarter', index: 0, of: 8, target: 120 },
      verdict: (i * 31) % 7 < 5 ? 'clean' : 'missed',
      source: 'self',
      cold: false,
      duration: 20,
    };
  });
}
