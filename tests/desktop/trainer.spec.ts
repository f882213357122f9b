// The program in Electron, where its runtime is present: what only Electron itself can show.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { ElectronApplication, Page } from '@playwright/test';
import { _electron, expect, test } from '@playwright/test';
import { electronRuntime } from '../../app/runtime.ts';
import { askForMedia, scriptFromText } from '../support/page-powers.ts';
import { passEntry } from '../unit/services/samples.ts';
import { root } from './runtime.ts';

let directory: string;
let app: ElectronApplication;
let page: Page;

test.beforeEach(async () => {
  directory = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-desktop-'));
  await launch();
});
test.afterEach(async () => {
  await end();
  fs.rmSync(directory, { recursive: true, force: true });
});

async function launch(): Promise<void> {
  app = await _electron.launch({
    executablePath: electronRuntime()!,
    args: [root, `--data=${directory}`, '--use-fake-device-for-media-stream'],
    // Playwright takes the sandbox away unless it is asked to leave it.
    chromiumSandbox: true,
  });
  page = await app.firstWindow();
  await page.waitForLoadState('domcontentloaded');
}

/** Closes the program and waits until its process has gone. */
async function end(): Promise<void> {
  const gone = once(app.process(), 'exit');
  await app.close();
  await gone;
}

/** A call from within the page, as the view makes it. */
const call = (name: string, input: unknown): Promise<{ ok: boolean; value: unknown }> =>
  page.evaluate(([name, input]) => window.rungwise!.call(name as never, input) as never, [
    name,
    input,
  ] as const);

test('shows the trainer under its own scheme, without Node and without eval', async () => {
  await expect(page).toHaveTitle(/Rungwise/);
  expect(new URL(page.url()).protocol).toBe('rungwise:');
  expect(await page.evaluate(() => typeof (globalThis as { process?: unknown }).process)).toBe(
    'undefined',
  );
  expect(await page.evaluate(() => Object.keys(window.rungwise!))).toEqual(['call', 'on']);
  expect(await scriptFromText(page)).toBe('EvalError');
});

test('goes nowhere else and opens no window', async () => {
  const before = page.url();
  await page.evaluate(() => void (location.href = 'https://elsewhere.example/'));
  expect(await page.evaluate(() => window.open('https://elsewhere.example/'))).toBeNull();
  await page.waitForTimeout(500);
  expect(page.url()).toBe(before);
  expect(app.windows()).toHaveLength(1);
});

test('answers the contract with the demo charts, and refuses what is malformed', async () => {
  const library = await call('charts.list', {});
  const { charts } = library.value as { charts: { title: string }[] };
  expect(charts.length).toBeGreaterThan(0);
  await page.evaluate(() => void (location.hash = '#/charts'));
  for (const { title } of charts)
    await expect(page.getByRole('link', { name: title })).toBeVisible();
  expect((await call('log.append', { entries: [] })).ok).toBe(false);
});

test('keeps what was judged when the process is killed', async () => {
  expect((await call('log.append', { entries: [passEntry('judged')] })).ok).toBe(true);
  const gone = once(app.process(), 'exit');
  app.process().kill('SIGKILL');
  await gone;
  await launch();
  const history = await call('log.passes', {});
  expect(JSON.stringify(history.value)).toContain('judged');
});

test('keeps the display awake while climbing, and not afterwards', async () => {
  const awake = (): Promise<boolean> =>
    app.evaluate(({ powerSaveBlocker }) => [0, 1, 2].some((id) => powerSaveBlocker.isStarted(id)));
  await call('host.climbing', { on: true, paused: false });
  expect(await awake()).toBe(true);
  await call('host.climbing', { on: false, paused: false });
  expect(await awake()).toBe(false);
});

test('prints to the chosen file', async () => {
  const filePath = path.join(directory, 'sheet.pdf');
  await app.evaluate(({ dialog }, filePath) => {
    dialog.showSaveDialog = () => Promise.resolve({ canceled: false, filePath });
  }, filePath);
  await call('host.printPdf', { title: 'Lesson', paper: 'A4' });
  expect(fs.readFileSync(filePath).toString('latin1', 0, 5)).toBe('%PDF-');
});

test('grants the microphone and refuses the camera', async () => {
  const asks = (what: MediaStreamConstraints) => askForMedia(page, what);
  expect(await asks({ audio: true })).toBe('granted');
  expect(await asks({ video: true })).toBe('NotAllowedError');
  expect(await asks({ audio: true, video: true })).toBe('NotAllowedError');
});

test('goes to a room by the menu, and loads the page again', async () => {
  await app.evaluate(({ Menu }) => {
    const rooms = Menu.getApplicationMenu()?.items.find(({ label }) => label === '&Rooms');
    rooms?.submenu?.items.find(({ label }) => label === 'History')?.click();
  });
  await expect(page).toHaveTitle('History · Rungwise');
  await page.reload();
  await expect(page).toHaveTitle('History · Rungwise');
});

test('a second start on the same data ends, and the first window stays', async () => {
  const second = spawn(electronRuntime()!, [root, `--data=${directory}`], { stdio: 'ignore' });
  await once(second, 'exit');
  expect(app.windows()).toHaveLength(1);
  expect((await call('host.info', {})).ok).toBe(true);
});

test('a window that crashed opens again', async () => {
  const loaded = app.evaluate(({ BrowserWindow, dialog }) => {
    dialog.showMessageBox = () => Promise.resolve({ response: 0, checkboxChecked: false });
    const { webContents } = BrowserWindow.getAllWindows()[0]!;
    const again = new Promise<string>((done) =>
      webContents.once('did-finish-load', () => done(webContents.getURL())),
    );
    webContents.forcefullyCrashRenderer();
    return again;
  });
  expect(await loaded).toMatch(/^rungwise:\/\/trainer\/index\.html/);
});

test('the window comes back where and as large as it was left', async () => {
  const left = { x: 60, y: 40, width: 900, height: 640 };
  const bounds = () =>
    app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]!.getBounds());
  await app.evaluate(
    ({ BrowserWindow }, to) => BrowserWindow.getAllWindows()[0]!.setBounds(to),
    left,
  );
  await expect.poll(bounds).toEqual(left);
  await end();
  await launch();
  expect(await bounds()).toEqual(left);
});
