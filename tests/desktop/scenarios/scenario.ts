// What a scenario is, and the steps that several of them take.
import { once } from 'node:events';
import fs from 'node:fs';
import path from 'node:path';
import { expect, type Page } from '@playwright/test';
import { writeChartFile } from '../../support/chart-file.ts';
import { CHART, SHORT_LADDER, UNIT } from '../../support/short-ladder.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import { forget, record } from '../standin/record.ts';
import { BrowserWindow } from '../standin/window.ts';

interface Start {
  /** Arguments for Chromium. */
  readonly chromium?: readonly string[];
  /** What has happened before the program starts; returns the arguments of the start. */
  readonly before?: (where: Where) => Promise<readonly string[]>;
}
interface WithWindow extends Start {
  /** Begins when the program's window shows itself. */
  readonly run: (opened: Where & Opened) => Promise<void>;
}
interface WithoutWindow extends Start {
  /** Begins when the program has ended or handed over by itself. */
  readonly without: () => void;
}
export type Scenario = WithWindow | WithoutWindow;

interface Opened {
  readonly window: BrowserWindow;
  readonly page: Page;
}

interface Where {
  readonly data: string;
  readonly root: string;
}

/** The command that runs a scenario in another process, which has the data folder before or beside this one. */
export const anotherProcess = (
  { data, root }: Where,
  file: string,
  ...more: string[]
): string[] => [
  ...['--import', new URL('../standin/hook.ts', import.meta.url).href],
  path.join(import.meta.dirname, '..', 'standin', 'run.ts'),
  ...[root, data, file, ...more],
];

/** A chart of this title as the program writes its files. */
export function writeChart(folder: string, title: string): string {
  const file = path.join(folder, `${title}.rungchart`);
  fs.writeFileSync(file, writeChartFile({ ...demoCharts()[0]!, id: title.toLowerCase(), title }));
  return file;
}

/** With room for a machine that does other things as well. */
export const WAIT = { timeout: 45_000 };

/** Plays them one after the other; each finds the first screen, and nothing noted. */
export async function play(scenarios: readonly Scenario[], where: Where): Promise<void> {
  for (const [i, scenario] of scenarios.entries()) {
    if (i > 0) await showFirstScreen();
    if ('without' in scenario) scenario.without();
    else await scenario.run({ ...where, ...(await firstWindow()) });
  }
}

/** As after a start, though with all that was stored. */
async function showFirstScreen(): Promise<void> {
  const { window, page } = await firstWindow();
  if (window.isMinimized()) window.restore();
  // A climb under way ends by it.
  await reload(window);
  await page.evaluate(() => void (location.hash = '#/today'));
  await expect(page).toHaveTitle('Today · Rungwise', WAIT);
  forget();
}

/** The program's window, once it shows itself. */
async function firstWindow(): Promise<Opened> {
  await expect.poll(() => BrowserWindow.all.length, WAIT).toBe(1);
  const window = BrowserWindow.all[0]!;
  await expect.poll(() => window.visible, WAIT).toBe(true);
  return { window, page: window.webContents.page };
}

interface Answer {
  readonly ok: boolean;
  readonly value: unknown;
  readonly problems: readonly { readonly code: string }[];
}

/** A call as the view makes it. */
export const call = (page: Page, name: string, input: unknown = {}): Promise<Answer> =>
  page.evaluate(([name, input]) => window.rungwise!.call(name as never, input) as never, [
    name,
    input,
  ] as const);

/** Nothing that a browser warns of, no policy that was broken, nothing that Electron would refuse. */
export function expectNoComplaints(): void {
  expect({ console: record.console, violations: record.violations }).toEqual({
    console: [],
    violations: [],
  });
}

export async function reload({ webContents }: BrowserWindow): Promise<void> {
  const loaded = once(webContents, 'did-finish-load');
  webContents.reload();
  await loaded;
}

/** A climb under way, before its first verdict. */
export async function startClimb(window: BrowserWindow): Promise<Page> {
  const { page } = window.webContents;
  expect((await call(page, 'ladders.save', SHORT_LADDER)).ok).toBe(true);
  const shown = { patch: { shown: ['care-before-first-sound'] } };
  expect((await call(page, 'settings.write', shown)).ok).toBe(true);
  await reload(window);
  await page.evaluate(
    (hash) => void (location.hash = hash),
    `#/climb/${CHART}/${encodeURIComponent(UNIT)}`,
  );
  await page.getByRole('button', { name: 'Climb', exact: true }).click(WAIT);
  await expect(page.getByRole('region', { name: 'Stage' })).toBeVisible(WAIT);
  return page;
}

/** Judges a pass as clean by its key. */
export async function judge(page: Page, pass: number): Promise<void> {
  await expect(page.getByRole('group', { name: `How was pass ${pass}?` })).toBeVisible(WAIT);
  await page.keyboard.press('ArrowUp');
}

export async function passesOnDisk(page: Page): Promise<number> {
  const { value } = await call(page, 'log.passes');
  return (value as { passes: unknown[] }).passes.length;
}

export async function titlesOf(page: Page): Promise<string[]> {
  const { value } = await call(page, 'charts.list');
  return (value as { charts: { title: string }[] }).charts.map(({ title }) => title);
}
