// Electron's security list, point by point as the handbook's page for developers walks it: each point is asked for.
// Source of the list: Electron's documentation, “Security”, version 45.
import fs from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { isFromOurPage } from '../../../app/electron/ipc.ts';
import { CONTENT_POLICY } from '../../../app/services/machine/content-policy.ts';
import { temporaryDirectory } from '../services/samples.ts';
import { app, BrowserWindow, order, protocol, resetElectron, session } from './fake-electron.ts';
import { soon } from '../../support/soon.ts';

// One and the same fake, however often the modules under test are loaded anew.
const electron = await vi.hoisted(() => import('./fake-electron.ts'));
vi.mock('electron', () => electron);

const root = path.join(import.meta.dirname, '../../..');
const read = (file: string): string => fs.readFileSync(path.join(root, file), 'utf8');
/** All of the program's own code that runs in Electron. */
const code = ['app', 'renderer']
  .flatMap((folder) =>
    fs
      .readdirSync(path.join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.(ts|svelte|html|json)$/.test(file))
      .map((file) => path.join(folder, file)),
  )
  .map((file) => [file, read(file)] as const);
const filesThatSay = (words: RegExp): string[] =>
  code.filter(([, text]) => words.test(text)).map(([file]) => file);

const directory = temporaryDirectory();
const usualArguments = process.argv;
let window: BrowserWindow;
let loaded: unknown[][];
beforeAll(async () => {
  resetElectron();
  process.argv = ['electron', '.', `--data=${directory}`];
  await import('../../../app/electron/main.ts');
  await soon(() => expect(BrowserWindow.all).toHaveLength(1));
  window = BrowserWindow.all[0]!;
  loaded = [...window.loadURL.mock.calls];
});
afterAll(() => {
  app.emit('will-quit');
  process.argv = usualArguments;
  fs.rmSync(directory, { recursive: true, force: true });
});

const preferences = (): Record<string, unknown> =>
  window.options['webPreferences'] as Record<string, unknown>;

function refuses(event: string): void {
  const asked = { preventDefault: vi.fn() };
  window.webContents.emit(event, asked);
  expect(asked.preventDefault, event).toHaveBeenCalledOnce();
}

/** The points by their numbers. */
const points: Readonly<Record<number, () => void | Promise<void>>> = {
  1: () => {
    expect(loaded).toEqual([['rungwise://trainer/index.html']]);
    expect(CONTENT_POLICY).not.toMatch(/https?:|\*/);
  },
  2: () => expect(preferences()).toMatchObject({ nodeIntegration: false }),
  3: () => expect(preferences()).toMatchObject({ contextIsolation: true }),
  4: () => {
    expect(preferences()).toMatchObject({ sandbox: true });
    expect(order.indexOf('enableSandbox')).toBeLessThan(order.indexOf('whenReady'));
  },
  5: () => {
    const { request, check, device } = session.defaultSession;
    for (const handler of [request, check, device]) expect(handler).toBeTypeOf('function');
  },
  6: () => expect(filesThatSay(/webSecurity/)).toEqual([]),
  7: async () => {
    const page = await protocol.handlers['rungwise']!(new Request('rungwise://trainer/none.html'));
    expect(page.headers.get('content-security-policy')).toBe(CONTENT_POLICY);
    expect(CONTENT_POLICY).toMatch(/default-src 'none'/);
    expect(CONTENT_POLICY).toMatch(/script-src 'self';/);
    expect(CONTENT_POLICY).not.toContain('unsafe-eval');
  },
  8: () => expect(filesThatSay(/allowRunningInsecureContent/)).toEqual([]),
  9: () => expect(filesThatSay(/experimentalFeatures/)).toEqual([]),
  10: () => expect(filesThatSay(/enableBlinkFeatures/)).toEqual([]),
  11: () => expect(filesThatSay(/allowpopups|<webview|webviewTag/i)).toEqual([]),
  12: () => refuses('will-attach-webview'),
  13: () => ['will-navigate', 'will-frame-navigate', 'will-redirect'].forEach(refuses),
  14: () => expect(window.webContents.openHandler?.()).toEqual({ action: 'deny' }),
  15: () => expect(filesThatSay(/openExternal/)).toEqual([]),
  16: () => {
    const { devDependencies } = JSON.parse(read('package.json')) as {
      devDependencies: { electron: string };
    };
    expect(devDependencies.electron).toMatch(/^\d+\.\d+\.\d+$/);
    expect(read('.github/dependabot.yml')).toContain('package-ecosystem: npm');
  },
  17: () => {
    const { webContents } = window;
    const asked = (senderFrame: unknown) =>
      isFromOurPage({ sender: webContents, senderFrame } as never);
    expect(asked(webContents.mainFrame)).toBe(true);
    expect([null, { url: webContents.mainFrame.url }].map(asked)).toEqual([false, false]);
  },
  18: () => expect(filesThatSay(/file:\/\/|loadFile\(/)).toEqual([]),
  19: () => {
    const { electronFuses } = JSON.parse(read('app/electron/builder.json')) as {
      electronFuses: Record<string, boolean>;
    };
    const on = Object.keys(electronFuses).filter((fuse) => electronFuses[fuse]);
    expect(on).toEqual(['onlyLoadAppFromAsar', 'enableEmbeddedAsarIntegrityValidation']);
  },
  20: () => {
    const preload = read('app/electron/preload.ts');
    const asked = /import \{ (.*) \} from 'electron'/.exec(preload)?.[1];
    expect(asked).toBe('contextBridge, ipcRenderer');
    expect(preload).not.toMatch(/ipcRenderer[,}]|: ipcRenderer\b/);
    expect(preload.match(/exposeInMainWorld/g)).toHaveLength(1);
  },
};

const rows = [...read('assets/handbook/developers.md').matchAll(/^\| (\d+)\. (.*?) \| (.+) \|$/gm)];

it('is walked whole in the handbook', () => {
  expect(rows.map(([, number]) => Number(number))).toEqual(Object.keys(points).map(Number));
  for (const [, , point, words] of rows) expect(words!.length, point).toBeGreaterThan(10);
});

describe('Electron’s security list', () => {
  it.each(rows.map(([, number, point]) => [Number(number), point!] as const))(
    '%i. %s',
    async (number) => {
      await points[number]!();
    },
  );
});
