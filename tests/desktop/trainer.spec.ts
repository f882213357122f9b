// The program in Electron: what its page may and may not do, and that what was judged outlives a killed process.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { ElectronApplication, Page } from '@playwright/test';
import { _electron, expect, test } from '@playwright/test';
import { electronRuntime } from '../../app/runtime.ts';
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
  await app.close();
  fs.rmSync(directory, { recursive: true, force: true });
});

async function launch(): Promise<void> {
  app = await _electron.launch({
    executablePath: electronRuntime()!,
    args: [root, `--data=${directory}`],
  });
  page = await app.firstWindow();
  await page.waitForLoadState('domcontentloaded');
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
  const evaluated = await page.evaluate(
    () =>
      new Promise<string>((resolve) =>
        setTimeout(() => {
          try {
            resolve(String(new Function('return 1')()));
          } catch (error) {
            resolve((error as Error).name);
          }
        }),
      ),
  );
  expect(evaluated).toBe('EvalError');
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
  expect((library.value as { charts: unknown[] }).charts).toHaveLength(3);
  expect((await call('log.append', { entries: [] })).ok).toBe(false);
});

test('keeps what was judged when the process is killed', async () => {
  expect((await call('log.append', { entries: [passEntry('judged')] })).ok).toBe(true);
  app.process().kill('SIGKILL');
  await launch();
  const history = await call('log.passes', {});
  expect(JSON.stringify(history.value)).toContain('judged');
});

test('keeps the display awake while climbing, and not afterwards', async () => {
  const awake = (): Promise<boolean> =>
    app.evaluate(({ powerSaveBlocker }) => [0, 1, 2].some((id) => powerSaveBlocker.isStarted(id)));
  await call('host.climbing', { on: true });
  expect(await awake()).toBe(true);
  await call('host.climbing', { on: false });
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

test('refuses the camera', async () => {
  const refused = await page.evaluate(() =>
    navigator.mediaDevices.getUserMedia({ video: true }).then(
      () => 'granted',
      (error: Error) => error.name,
    ),
  );
  expect(refused).not.toBe('granted');
});
