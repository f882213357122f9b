// A browser host on a temporary data directory, in this process, for one test.
import { randomUUID } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import Conf from 'conf';
import { test as base, expect } from '@playwright/test';
import type { BrowserContext, BrowserContextOptions, Page } from '@playwright/test';
import { buildView } from '../../app/build.ts';
import type { Chart } from '../../app/core/model/chart.ts';
import { startBrowserHost } from '../../app/browser-host/server.ts';
import { isTaken } from '../../app/browser-host/usual-port.ts';
import { demoCharts } from '../../app/services/machine/demo-charts.ts';
import type { ServiceHost, ServicesOptions } from '../../app/services/machine/host.ts';
import { openServices } from '../../app/services/machine/services.ts';
import type { StoreEngine } from '../../app/services/machine/store/store-file.ts';
import { FRAME_MS, fewFrames } from '../support/few-frames.ts';
import { showTestTime, testNow, SLOW_BY_MS } from '../support/test-time.ts';
import { KeptWindow } from './kept-window.ts';

// Node runs these files as they stand: no line of a stack need be looked up in a map, as Playwright does for each step.
Reflect.deleteProperty(Error, 'prepareStackTrace');

export interface TestHost {
  /** Opens the trainer once; a page of the same browser context may reload afterwards. */
  readonly address: string;
  readonly directory: string;
  readonly services: ServiceHost;
  /** Stops the host; the directory goes too unless it was given. */
  readonly close: () => Promise<void>;
}

export interface HostChoices extends Partial<ServicesOptions> {
  /** Folder of a built view; the one that the test run built if left out. */
  readonly view?: string;
  /** Where it is served, unless that is taken; anywhere if left out. */
  readonly port?: number;
}

/**
 * Asked for by `RUNGWISE_TEST_SLOW=MILLISECONDS`: each call waits that long before the machine side hears it and once
 * more before its answer is on the way, and the page's processor is three times slower. What a test reads without
 * having waited for it is then not there yet, on a fast machine too.
 */
const SLOW_MS = Number(process.env['RUNGWISE_TEST_SLOW'] ?? 0);
const SLOWER_PAGE = 3;

const slowed = (services: ServiceHost): ServiceHost => ({
  ...services,
  handle: async (...call) => {
    await pause(SLOW_MS);
    const answer = await services.handle(...call);
    await pause(SLOW_MS);
    return answer;
  },
});

let demos: readonly Chart[] | undefined;
/** Read once for all hosts of a process. */
const readDemos = (): readonly Chart[] => (demos ??= demoCharts());

/** The folder that `global-setup.ts` built the view into, or a fresh build for a script of its own. */
async function builtForTests(): Promise<string> {
  const built = process.env['RUNGWISE_TEST_VIEW'];
  if (built) return built;
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-view-'));
  await buildView(folder);
  process.on('exit', () => fs.rmSync(folder, { recursive: true, force: true }));
  return (process.env['RUNGWISE_TEST_VIEW'] = folder);
}

/** A passphrase usually costs a second of scrypt each time; that it does is tested in tests/unit/services/courier. */
const QUICK_TO_TRY = { workFactor: 2 };

export async function startHost(choices: HostChoices = {}): Promise<TestHost> {
  const view = choices.view ?? (await builtForTests());
  const directory = choices.directory ?? fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-data-'));
  const services = openServices({
    engine: Conf as unknown as StoreEngine,
    host: {
      kind: 'browser',
      version: 'test',
      climbing: () => undefined,
      openFolder: () => Promise.resolve(false),
      takeFiles: () => Promise.resolve([]),
      printPdf: () => Promise.resolve({ kind: 'use-browser-print' }),
    },
    now: testNow,
    newId: randomUUID,
    demoCharts: readDemos,
    pace: QUICK_TO_TRY,
    ...choices,
    directory,
  });
  const seen = SLOW_MS > 0 ? slowed(services) : services;
  const serveAt = (port: number) => startBrowserHost({ services: seen, view, port });
  const host = await serveAt(choices.port ?? 0).catch((error: unknown) => {
    if (isTaken(error)) return serveAt(0);
    throw error;
  });
  return {
    address: host.address,
    directory,
    services,
    close: async () => {
      await host.close();
      services.close();
      if (!choices.directory) fs.rmSync(directory, { recursive: true, force: true });
    },
  };
}

/**
 * A busy machine's output stumbles, and the climb holds such a pass against nobody. Where keys judge it is not to be
 * told; what follows from it is tested in tests/unit/view/audio and tests/unit/view/state/climb.
 */
function hideUnderruns(): void {
  for (const counters of ['playbackStats', 'playoutStats']) {
    Reflect.deleteProperty(AudioContext.prototype, counters);
  }
}

/** Gives the pages of a context the time that the machine side has. */
export async function atTestTime(context: BrowserContext): Promise<void> {
  if (SLOW_BY_MS > 0) await context.addInitScript(showTestTime, SLOW_BY_MS);
}

/** A page whose sound nobody measures. */
export async function makeSteady(page: Page): Promise<void> {
  await page.addInitScript(hideUnderruns);
  const isQuiet = base.info().project.name === 'quiet';
  await page.addInitScript(fewFrames, FRAME_MS[isQuiet ? 'quiet' : 'played']);
}

/** Before a page is opened: notes what Svelte will warn of. */
export async function warningsIn(page: Page): Promise<() => string[]> {
  if (SLOW_MS > 0) {
    const browser = await page.context().newCDPSession(page);
    await browser.send('Emulation.setCPUThrottlingRate', { rate: SLOWER_PAGE });
  }
  const warnings: string[] = [];
  page.on('console', (message) => {
    if (message.text().includes('svelte.dev/e/')) warnings.push(message.text());
  });
  return () => warnings;
}

interface Fixtures {
  readonly host: TestHost;
  readonly trainer: Page;
  /** Playwright's own: the options of a context that the test's file and project ask for. */
  readonly _combinedContextOptions: BrowserContextOptions;
}

/** Playwright's `test` with a fresh host for each test and its Charts room already open. */
export const test = base.extend<Fixtures, { readonly kept: KeptWindow }>({
  kept: [
    async ({ browser }, use) => {
      const kept = await KeptWindow.of(browser, atTestTime);
      await use(kept);
      await kept.close();
    },
    { scope: 'worker' },
  ],
  host: async ({ kept: { port } }, use) => {
    const host = await startHost({ port });
    await use(host);
    await host.close();
  },
  context: async ({ kept, _combinedContextOptions: asked }, use, { project }) => {
    await use(await kept.context(asked));
    // What is heard is not to depend on what a process has done before.
    await (project.name === 'heard' ? kept.close() : kept.clear());
  },
  page: async ({ context }, use, { project }) => {
    const page = await context.newPage();
    if (project.name !== 'heard') await makeSteady(page);
    const warnings = await warningsIn(page);
    await use(page);
    expect(warnings(), 'Svelte warned of state that no longer follows').toEqual([]);
  },
  trainer: async ({ page, host }, use) => {
    await page.goto(`${host.address}#/charts`);
    await use(page);
  },
});

export { expect };
