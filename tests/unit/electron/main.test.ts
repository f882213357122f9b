// The main process as a whole, on a fake Electron and a real data directory.
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { takeFolder } from '../../../app/services/machine/store/data-folder.ts';
import { temporaryDirectory } from '../services/samples.ts';
import {
  app,
  BrowserWindow,
  dialog,
  ipcMain,
  Menu,
  order,
  powerMonitor,
  powerSaveBlocker,
  protocol,
  resetElectron,
} from './fake-electron.ts';
import { soon } from '../../support/soon.ts';
import { needsLinux } from '../../support/needs.ts';

// One and the same fake, however often the modules under test are loaded anew.
const electron = await vi.hoisted(() => import('./fake-electron.ts'));
vi.mock('electron', () => electron);

let directory: string;
const usualArguments = process.argv;

beforeEach(() => {
  resetElectron();
  vi.resetModules();
  directory = temporaryDirectory();
  process.argv = ['electron', '.', `--data=${directory}`];
});
afterEach(() => {
  app.emit('will-quit');
  process.argv = usualArguments;
  fs.rmSync(directory, { recursive: true, force: true });
});

/** Runs the main process until its window stands; `vi.resetModules` gives every test its own. */
async function start(): Promise<BrowserWindow> {
  await import('../../../app/electron/main.ts');
  await soon(() => expect(BrowserWindow.all).toHaveLength(1));
  return BrowserWindow.all[0]!;
}

type Sender = { senderFrame: unknown; sender: unknown };

async function call(window: BrowserWindow, name: string, input: unknown = {}): Promise<unknown> {
  const { webContents } = window;
  const event: Sender = { senderFrame: webContents.mainFrame, sender: webContents };
  return ipcMain.handlers['rungwise:call']!(event as never, name as never, input as never);
}

describe('starting', () => {
  it('has the sandbox and the scheme in place before Electron is ready', async () => {
    await start();
    expect(order).toEqual(['enableSandbox', 'registerScheme', 'whenReady']);
    expect(protocol.schemes[0]).toEqual({
      scheme: 'rungwise',
      privileges: { standard: true, secure: true, supportFetchAPI: true, codeCache: true },
    });
  });

  it('tells Chromium to speak through the dispatcher', needsLinux, async () => {
    await start();
    expect(app.commandLine.appendSwitch).toHaveBeenCalledWith('enable-speech-dispatcher');
  });

  it('opens one isolated, sandboxed window on our own page and shows it when it is ready', async () => {
    const window = await start();
    expect(window.options).toMatchObject({
      show: false,
      webPreferences: { contextIsolation: true, sandbox: true, nodeIntegration: false },
    });
    expect(window.options['webPreferences']).not.toHaveProperty('webSecurity');
    expect(window.loadURL).toHaveBeenCalledWith('rungwise://trainer/index.html');
    expect(window.show).not.toHaveBeenCalled();
    window.emit('ready-to-show');
    expect(window.show).toHaveBeenCalledOnce();
  });

  it('keeps Electron’s own data beneath the data directory', async () => {
    await start();
    expect(app.paths['userData']).toBe(path.join(directory, 'window'));
  });

  it('ends at once when another instance runs', async () => {
    app.holdsLock = false;
    await import('../../../app/electron/main.ts');
    expect(app.quit).toHaveBeenCalledOnce();
    expect(app.whenReady).not.toHaveBeenCalled();
  });

  it('says so and ends when the browser host holds the data directory', async () => {
    const folder = takeFolder(directory);
    await import('../../../app/electron/main.ts');
    await soon(() => expect(app.quit).toHaveBeenCalledOnce());
    expect(dialog.showErrorBox).toHaveBeenCalledWith(
      'Rungwise cannot start',
      expect.stringContaining('already running'),
    );
    expect(BrowserWindow.all).toEqual([]);
    folder.release();
  });

  it('comes forward when it is started again', async () => {
    const window = await start();
    window.isMinimized.mockReturnValueOnce(true);
    app.emit('second-instance', {}, ['electron', '.'], directory);
    expect(window.restore).toHaveBeenCalledOnce();
    expect(window.focus).toHaveBeenCalledOnce();
  });
});

describe('calls', () => {
  it('are answered through electron-store with the same files as the browser host', async () => {
    const window = await start();
    expect(await call(window, 'host.info')).toMatchObject({
      ok: true,
      value: { kind: 'electron', version: '9.8.7', dataDirectory: directory },
    });
    await call(window, 'settings.write', { patch: { theme: 'dark' } });
    const file = fs.readFileSync(path.join(directory, 'settings.json'), 'utf8');
    const checkSum: unknown = expect.stringMatching(/^[0-9a-f]{8}$/);
    expect(JSON.parse(file)).toEqual({ theme: 'dark', schemaVersion: 1, checkSum });
  });

  it.each([
    ['a frame that has gone', (w: BrowserWindow) => ({ senderFrame: null, sender: w.webContents })],
    [
      'a frame within the page',
      (w: BrowserWindow) => ({
        senderFrame: { url: w.webContents.mainFrame.url },
        sender: w.webContents,
      }),
    ],
    [
      'another page',
      (w: BrowserWindow) => {
        w.webContents.mainFrame.url = 'https://evil.example/';
        return { senderFrame: w.webContents.mainFrame, sender: w.webContents };
      },
    ],
  ])('from %s are refused', async (_case, eventOf) => {
    const window = await start();
    const handler = ipcMain.handlers['rungwise:call']!;
    const answer = await handler(eventOf(window) as never, 'host.info' as never, {} as never);
    expect(answer).toMatchObject({ ok: false, problems: [{ code: 'stranger' }] });
  });
});

describe('while climbing', () => {
  it('the display stays awake and the window keeps its speed, until it is over', async () => {
    const window = await start();
    await call(window, 'host.climbing', { on: true });
    await call(window, 'host.climbing', { on: true });
    expect(powerSaveBlocker.start).toHaveBeenCalledExactlyOnceWith('prevent-display-sleep');
    expect(window.webContents.setBackgroundThrottling).toHaveBeenLastCalledWith(false);
    await call(window, 'host.climbing', { on: false });
    expect(powerSaveBlocker.stop).toHaveBeenCalledExactlyOnceWith(7);
    expect(window.webContents.setBackgroundThrottling).toHaveBeenLastCalledWith(true);
  });

  it('a closed window gives the display back', async () => {
    const window = await start();
    await call(window, 'host.climbing', { on: true });
    app.emit('window-all-closed');
    await soon(() => expect(powerSaveBlocker.stop).toHaveBeenCalledOnce());
  });

  it('sleep and wake are told to the view', async () => {
    const window = await start();
    powerMonitor.emit('suspend');
    powerMonitor.emit('resume');
    expect(window.webContents.sent).toEqual([
      ['rungwise:event', 'power', { state: 'suspend' }],
      ['rungwise:event', 'power', { state: 'resume' }],
    ]);
  });
});

describe('a printed sheet', () => {
  it('goes to the file the user chose', async () => {
    const window = await start();
    const sheet = { title: 'Lesson: 3/4', paper: 'A4' };
    expect(await call(window, 'host.printPdf', sheet)).toMatchObject({
      value: { kind: 'cancelled' },
    });
    const filePath = path.join(directory, 'sheet.pdf');
    dialog.showSaveDialog.mockResolvedValueOnce({ canceled: false, filePath });
    expect(await call(window, 'host.printPdf', sheet)).toMatchObject({
      value: { kind: 'saved', path: filePath },
    });
    expect(dialog.showSaveDialog.mock.lastCall?.[1]).toMatchObject({
      defaultPath: 'Lesson 3 4.pdf',
    });
    expect(window.webContents.printToPDF).toHaveBeenCalledWith(
      expect.objectContaining({ pageSize: 'A4' }),
    );
    expect(fs.readFileSync(filePath, 'utf8')).toMatch(/^%PDF/);
  });
});

describe('the menu', () => {
  it('hands its actions to the view', async () => {
    const window = await start();
    const file = Menu.template.find((item) => item['label'] === '&File')!;
    (file['submenu'] as { click: () => void }[])[0]!.click();
    await soon(() => expect(window.webContents.sent).not.toEqual([]));
    expect(window.webContents.sent).toEqual([['rungwise:event', 'menu', { action: 'new-chart' }]]);
  });
});

describe('a window in trouble', () => {
  it('that died is loaded again when the user wishes', async () => {
    const window = await start();
    app.emit('render-process-gone', {}, window.webContents, { reason: 'crashed' });
    await soon(() => expect(window.webContents.loadURL).toHaveBeenCalledOnce());
    expect(window.webContents.loadURL).toHaveBeenCalledWith('rungwise://trainer/index.html');
  });

  it('that was closed on purpose is left alone', async () => {
    const window = await start();
    app.emit('render-process-gone', {}, window.webContents, { reason: 'clean-exit' });
    window.webContents.emit('did-fail-load', {}, -3, 'ABORTED', '', true);
    expect(dialog.showMessageBox).not.toHaveBeenCalled();
    expect(dialog.showErrorBox).not.toHaveBeenCalled();
  });

  it('that could not load names the reason', async () => {
    const window = await start();
    window.webContents.emit('did-fail-load', {}, -6, 'FILE_NOT_FOUND', '', true);
    expect(dialog.showErrorBox).toHaveBeenCalledWith(expect.any(String), 'FILE_NOT_FOUND (-6).');
  });
});

describe('the window’s place', () => {
  it('is kept by Electron, under the window’s name', async () => {
    const window = await start();
    expect(window.options).toMatchObject({ name: 'trainer', windowStatePersistence: true });
  });
});

describe('the end', () => {
  it('comes with the last window, except on macOS', async () => {
    await start();
    app.emit('window-all-closed');
    expect(app.quit).toHaveBeenCalledTimes(process.platform === 'darwin' ? 0 : 1);
  });

  it('lets the data directory go', async () => {
    await start();
    expect(() => takeFolder(directory)).toThrow('already running');
    app.emit('will-quit');
    takeFolder(directory).release();
  });
});
