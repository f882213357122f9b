// The view in Chromium: its size, its first usable screen, its script per frame while climbing.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import type { CDPSession, Page } from '@playwright/test';
import { chromium } from '@playwright/test';
import { buildAll, builtMain, buildView } from '../../../app/build.ts';
import { launchOptions } from '../../browser/chromium.ts';
import type { TestHost } from '../../browser/host.ts';
import { startHost } from '../../browser/host.ts';
import type { BenchRow } from '../bench.ts';
import { quantile } from '../bench.ts';

export const rows: BenchRow[] = [
  {
    name: 'bundle-gzip',
    what: 'all scripts and styles of the built view, gzip level 9; peer: the same files unpacked',
    unit: 'kB',
    measure: async () => {
      const sizes = (await builtFiles()).map((bytes) => ({
        plain: bytes.length,
        packed: packedSize(bytes),
      }));
      const total = (key: 'plain' | 'packed'): number =>
        sizes.reduce((sum, size) => sum + size[key], 0) / 1000;
      return {
        value: total('packed'),
        peer: { name: 'unpacked', value: total('plain') },
        note: `${sizes.length} files`,
      };
    },
  },
  {
    name: 'main-bundle',
    what: 'the built main process as it is read at every start; peer: with what follows when it is asked for: the updater, archives, all that shares',
    unit: 'kB',
    goal: { at: '<=', value: 450 },
    measure: async () => {
      await buildAll();
      const first = startOf(builtMain);
      const all = new Set([...first, ...laterThan(builtMain)]);
      const size = (files: Iterable<string>): number =>
        [...files].reduce((sum, file) => sum + fs.statSync(file).size / 1000, 0);
      return {
        value: size(first),
        peer: { name: 'with all that may follow', value: size(all) },
        note: `${first.size} of ${all.size} files`,
      };
    },
  },
  {
    name: 'first-load-gzip',
    what: 'scripts and styles fetched until a first climb can be begun, gzip level 9; rooms, sound and threads follow when first used; peer: all of them',
    unit: 'kB',
    goal: { at: '<=', value: 130 },
    measure: () =>
      withPage(async (page, host) => {
        await page.goto(host.address);
        await page.getByRole('button', { name: /^Begin/ }).waitFor();
        const files = await fetchedSoFar(page);
        const all = (await builtFiles()).reduce((sum, bytes) => sum + packedSize(bytes), 0);
        return {
          value: files.reduce((sum, text) => sum + packedSize(text), 0) / 1000,
          peer: { name: 'all of the view', value: all / 1000 },
          note: `${files.length} files`,
        };
      }),
  },
  {
    name: 'first-screen',
    what: 'from opening the address to a first climb that can be begun, Chromium, served by the browser host; peer: an empty page from the same host',
    unit: 'ms',
    goal: { at: '<=', value: 1000 },
    measure: () =>
      withPage(async (page, host) => {
        await page.goto(host.address);
        await page.getByText('Take your guitar').waitFor();
        const times = await repeat(7, () => untilShown(page, host, '/#/today', 'Take your guitar'));
        const peer = await repeat(7, () => untilShown(page, host, '/nothing', 'no such page'));
        return {
          value: quantile(times, 0.5),
          peer: { name: 'empty page', value: quantile(peer, 0.5) },
          note: `median of 7 loads; slowest ${Math.max(...times).toFixed(0)} ms`,
        };
      }),
  },
  {
    name: 'frame-script',
    what: 'script time per animation frame on the stage while a pass is played; peer: the same page before the climb',
    unit: 'ms',
    goal: { at: '<=', value: 4 },
    measure: () =>
      withPage(async (page, host) => {
        await page.goto(`${host.address}#/climb/demo-copper-staircase/section%3AVerse`);
        const climb = page.getByRole('button', { name: 'Climb', exact: true });
        await climb.waitFor();
        const cdp = await page.context().newCDPSession(page);
        await cdp.send('Performance.enable');
        const idle = await scriptPerFrame(page, cdp, 3);
        await climb.click();
        await page.getByRole('button', { name: /turned it down/ }).click();
        await page
          .getByRole('region', { name: 'Stage' })
          .getByText(/bar \d+ of/i)
          .waitFor();
        const climbing = await scriptPerFrame(page, cdp, 10);
        return {
          value: climbing.milliseconds,
          peer: { name: 'before the climb', value: idle.milliseconds },
          note: `${climbing.frames} frames in 10 s`,
        };
      }),
  },
];

/** A built file, and those that are always read along with it. */
function startOf(file: string): ReadonlySet<string> {
  const files = new Set([file]);
  // A set grows while it is walked.
  for (const one of files) {
    const code = fs.readFileSync(one, 'utf8');
    for (const [, next] of code.matchAll(/(?:from|import)\s*"(\.[^"]+\.js)"/g))
      files.add(path.resolve(path.dirname(one), next!));
  }
  return files;
}

/** Everything else that was built beside it. */
function laterThan(file: string): readonly string[] {
  const chunks = path.join(path.dirname(file), 'chunks');
  return fs.readdirSync(chunks).map((name) => path.join(chunks, name));
}

const packedSize = (content: Buffer | string): number => gzipSync(content, { level: 9 }).length;

/** Every script and style the page has fetched by now. */
const fetchedSoFar = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    Promise.all(
      performance
        .getEntriesByType('resource')
        .filter(({ name }) => /\.(js|css)$/.test(name))
        .map(async ({ name }) => (await fetch(name)).text()),
    ),
  );

async function builtFiles(): Promise<Buffer[]> {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-size-'));
  try {
    await buildView(folder);
    const assets = path.join(folder, 'assets');
    return fs
      .readdirSync(assets)
      .filter((name) => /\.(js|css)$/.test(name))
      .map((name) => fs.readFileSync(path.join(assets, name)));
  } finally {
    fs.rmSync(folder, { recursive: true, force: true });
  }
}

export async function withPage<T>(work: (page: Page, host: TestHost) => Promise<T>): Promise<T> {
  const host = await startHost();
  const browser = await chromium.launch(launchOptions({ entire: true }));
  try {
    return await work(await browser.newPage(), host);
  } finally {
    await browser.close();
    await host.close();
  }
}

async function repeat(times: number, measure: () => Promise<number>): Promise<number[]> {
  const values: number[] = [];
  for (let i = 0; i < times; i++) values.push(await measure());
  return values;
}

/** Milliseconds of the page's own clock until the text has been painted. */
async function untilShown(
  page: Page,
  host: TestHost,
  address: string,
  text: string,
): Promise<number> {
  // From an empty page, so that a change of the part after # loads anew too.
  await page.goto('about:blank');
  await page.goto(new URL(address, host.address).href, { waitUntil: 'commit' });
  // At every frame, and not for ever.
  const shown = await page.waitForFunction(
    (text) => document.body?.innerText.includes(text) && performance.now(),
    text,
  );
  return Number(await shown.jsonValue());
}

/** Chromium's own count of script time (Performance.getMetrics), over frames counted in the page. */
export async function scriptPerFrame(
  page: Page,
  cdp: CDPSession,
  seconds: number,
): Promise<{ readonly milliseconds: number; readonly frames: number }> {
  const before = await scriptSeconds(cdp);
  const frames = await page.evaluate(
    (seconds) =>
      new Promise<number>((resolve) => {
        const end = performance.now() + seconds * 1000;
        let count = 0;
        const next = (): void => {
          count++;
          if (performance.now() < end) requestAnimationFrame(next);
          else resolve(count);
        };
        requestAnimationFrame(next);
      }),
    seconds,
  );
  return { milliseconds: ((await scriptSeconds(cdp)) - before) * (1000 / frames), frames };
}

async function scriptSeconds(cdp: CDPSession): Promise<number> {
  const { metrics } = await cdp.send('Performance.getMetrics');
  const found = metrics.find((metric) => metric.name === 'ScriptDuration');
  if (!found) throw new Error('this Chromium does not count script time');
  return found.value;
}
