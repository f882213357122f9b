// Opens the History room over a long log in Chromium, through the browser host, and times what a reader waits for.
import { chromium, type Browser, type Page } from '@playwright/test';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import { launchOptions } from '../../browser/chromium.ts';
import { startHost } from '../../browser/host.ts';
import { chart, units } from '../../browser/record/diary.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';

const YEARS = 10;
const CHUNK = 10_000;
const LAST_DAY = '2021-04-05';

export interface Waits {
  /** Milliseconds from the click on the rail until the plot is drawn, by the page's own clock. */
  readonly open: number;
  /** Longest main-thread task of 50 ms or more while filtering, and while zooming; 0 where there was none. */
  readonly filter: number;
  readonly zoom: number;
}

export async function openHistory(count: number): Promise<Waits> {
  const host = await startHost();
  const browser = await chromium.launch(launchOptions({ entire: true }));
  try {
    for (let from = 0; from < count; from += CHUNK) {
      const entries = Array.from({ length: Math.min(CHUNK, count - from) }, (_, i) =>
        entryAt(from + i, count),
      );
      const answer = await host.services.handle('log.append', { entries });
      if (!answer.ok) throw new Error(answer.problems[0]?.message);
    }
    return await measure(browser, host.address);
  } finally {
    await browser.close();
    await host.close();
  }
}

async function measure(browser: Browser, address: string): Promise<Waits> {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.addInitScript(() => {
    const tasks: number[] = [];
    Object.assign(globalThis, { tasks });
    const watch = new PerformanceObserver((list) =>
      tasks.push(...list.getEntries().map(({ duration }) => duration)),
    );
    watch.observe({ entryTypes: ['longtask'] });
  });
  await page.addInitScript(timeClickToPlot);
  await page.goto(`${address}#/care`);
  await page.getByRole('heading', { level: 1 }).waitFor();
  await page.getByRole('link', { name: 'History' }).click();
  await page.waitForFunction(() => 'opened' in globalThis);
  const open = await page.evaluate(() => (globalThis as never as { opened: number }).opened);
  await longest(page);
  await page.getByLabel('Judged by').selectOption('self');
  const filter = await longest(page);
  await page.getByRole('button', { name: 'Closer' }).first().click();
  await page.getByRole('button', { name: 'Earlier' }).first().click();
  return { open, filter, zoom: await longest(page) };
}

/**
 * In the page: milliseconds from the first click until the frame with the plot is drawn, as
 * `opened`. The driver's own waiting around a click is none of the reader's.
 */
function timeClickToPlot(): void {
  let clicked: number | undefined;
  addEventListener('click', ({ timeStamp }) => (clicked ??= timeStamp), { capture: true });
  const watch = new MutationObserver(() => {
    if (!document.querySelector('[role="img"][aria-label*="tempo of every pass"]')) return;
    watch.disconnect();
    requestAnimationFrame(() => {
      // The next task comes after the frame.
      setTimeout(() => Object.assign(globalThis, { opened: performance.now() - clicked! }));
    });
  });
  watch.observe(document, { subtree: true, childList: true, attributes: true });
}

/** Longest task since last asked, once the page has come to rest. */
async function longest(page: Page): Promise<number> {
  await page.waitForTimeout(1_500);
  const tasks = await page.evaluate(() =>
    (globalThis as unknown as { tasks: number[] }).tasks.splice(0),
  );
  return Math.max(0, ...tasks);
}

function entryAt(i: number, count: number): LogEntry {
  const days = 365 * YEARS;
  const date = dateOfDay(dayNumber(LAST_DAY) - days + 1 + Math.floor((i * days) / count));
  const unit = units[Math.floor(i / 12) % units.length]!;
  const bpm = 40 + ((i * 7) % 30);
  return {
    kind: 'pass',
    unit: { fingerprint: unit.fingerprint, bars: unit.bars.map(loggedBar) },
    pass: {
      id: `p${i}`,
      at: `${date}T18:${String(i % 60).padStart(2, '0')}:00+00:00`,
      session: date,
      climb: date,
      chart: { id: chart.id, title: chart.title },
      unit: { key: unit.key, name: unit.name, fingerprint: unit.fingerprint },
      rung: { bpm, beat: unit.tempo.beat, index: 0, of: 8, target: 60 },
      verdict: bpm < 55 || i % 3 === 0 ? 'clean' : 'missed',
      source: 'self',
      cold: i % 12 === 0,
      duration: 20,
    },
  };
}
