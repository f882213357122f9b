// Bench rows of the run-through: script per frame while a song runs with the band, and whether memory stays flat.
import type { CDPSession, Page } from '@playwright/test';
import type { BenchRow } from '../bench.ts';
import type { TestHost } from '../../browser/host.ts';
import { demoNamed } from '../../support/demo.ts';
import { scriptPerFrame, withPage } from './view.ts';

/** A demo song with its form played often enough, and slowly, to last for half an hour. */
async function running(page: Page, host: TestHost): Promise<CDPSession> {
  const song = demoNamed('copper-staircase');
  const chart = { ...song, id: 'long', form: Array.from({ length: 12 }, () => song.form).flat() };
  await host.services.handle('charts.save', { chart });
  await page.goto(`${host.address}#/run/long`);
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill('60');
  await page.getByRole('spinbutton', { name: 'Tempo' }).blur();
  await page.getByRole('button', { name: 'Play it through' }).click();
  await page.getByRole('button', { name: /turned it down/ }).click();
  await page.locator('.token.on').waitFor({ timeout: 60_000 });
  const cdp = await page.context().newCDPSession(page);
  await cdp.send('Performance.enable');
  return cdp;
}

/** Bytes of the page's heap that are still in use after everything else was given back. */
async function heapInUse(cdp: CDPSession): Promise<number> {
  await cdp.send('HeapProfiler.collectGarbage');
  const { metrics } = await cdp.send('Performance.getMetrics');
  return metrics.find(({ name }) => name === 'JSHeapUsedSize')!.value;
}

const frames: BenchRow = {
  name: 'run-frame-script',
  what: 'script time per animation frame while a song runs with band and words',
  unit: 'ms',
  goal: { at: '<=', value: 4 },
  measure: () =>
    withPage(async (page, host) => {
      const cdp = await running(page, host);
      const { milliseconds, frames: counted } = await scriptPerFrame(page, cdp, 10);
      return { value: milliseconds, note: `${counted} frames in 10 s` };
    }),
};

/** Seconds before the first look. */
const SETTLES = 12;
/** Between two looks; `RUNGWISE_BENCH_MINUTES=30` looks on for so long, and the figure is no longer scaled up. */
const BETWEEN = 15;
const MINUTES = Number(process.env['RUNGWISE_BENCH_MINUTES'] ?? 1);
const LOOKS = MINUTES * (60 / BETWEEN) + 1;

const heap: BenchRow = {
  name: 'run-heap',
  what: 'memory that a running song keeps: slope of the page’s heap after collection, per 30 minutes',
  unit: 'MB',
  goal: { at: '<=', value: 10 },
  measure: () =>
    withPage(async (page, host) => {
      const cdp = await running(page, host);
      await page.waitForTimeout(SETTLES * 1000);
      const used: number[] = [];
      for (let i = 0; i < LOOKS; i++) {
        if (i > 0) await page.waitForTimeout(BETWEEN * 1000);
        used.push((await heapInUse(cdp)) / 1e6);
      }
      const perLook = slope(used);
      return {
        value: perLook * ((30 * 60) / BETWEEN),
        note: `${LOOKS} looks ${BETWEEN} s apart: ${used.map((mb) => mb.toFixed(2)).join(', ')} MB; from ${MINUTES} min of real time`,
      };
    }),
};

/** Of a straight line through values one apart, by least squares. */
function slope(values: readonly number[]): number {
  const middle = (values.length - 1) / 2;
  const spread = values.reduce((sum, _, i) => sum + (i - middle) ** 2, 0);
  return values.reduce((sum, y, i) => sum + (i - middle) * y, 0) / spread;
}

export const rows: BenchRow[] = [frames, heap];
