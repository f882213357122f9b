// An Electron that only remembers what was asked of it: enough of its main-process modules for our own.
import { EventEmitter } from 'node:events';
import path from 'node:path';
import { vi } from 'vitest';

class FakeContents extends EventEmitter {
  readonly mainFrame = { url: 'rungwise://trainer/index.html' };
  readonly sent: unknown[][] = [];
  openHandler: (() => { action: string }) | undefined;
  readonly setBackgroundThrottling = vi.fn();
  readonly printToPDF = vi.fn(() => Promise.resolve(Buffer.from('%PDF-1.7')));
  readonly loadURL = vi.fn(() => Promise.resolve());
  readonly isDestroyed = (): boolean => false;
  readonly send = (...message: unknown[]): void => void this.sent.push(message);
  readonly setWindowOpenHandler = (handler: () => { action: string }): void => {
    this.openHandler = handler;
  };
}

export class BrowserWindow extends EventEmitter {
  static all: BrowserWindow[] = [];
  static readonly getAllWindows = (): BrowserWindow[] => BrowserWindow.all;

  readonly webContents = new FakeContents();
  readonly options: Record<string, unknown>;
  readonly loadURL = vi.fn(() => Promise.resolve());
  readonly show = vi.fn();
  readonly focus = vi.fn();
  readonly restore = vi.fn();
  readonly maximize = vi.fn();
  readonly isMinimized = vi.fn(() => false);
  readonly isMaximized = vi.fn(() => false);
  readonly getBounds = vi.fn(() => ({ x: 10, y: 20, width: 900, height: 700 }));
  readonly setBounds = vi.fn();
  readonly getNormalBounds = vi.fn(() => ({ x: 10, y: 20, width: 900, height: 700 }));

  constructor(options: Record<string, unknown>) {
    super();
    this.options = options;
    BrowserWindow.all.push(this);
    app.emit('web-contents-created', {}, this.webContents);
  }
}

/** What was asked of `app`, in order. */
export const order: string[] = [];

export const app = Object.assign(new EventEmitter(), {
  name: 'Rungwise',
  paths: {} as Record<string, string>,
  holdsLock: true,
  enableSandbox: vi.fn(() => void order.push('enableSandbox')),
  whenReady: vi.fn(() => {
    order.push('whenReady');
    return Promise.resolve();
  }),
  requestSingleInstanceLock: vi.fn((): boolean => app.holdsLock),
  quit: vi.fn(() => void order.push('quit')),
  setPath: (name: string, path: string): void => void (app.paths[name] = path),
  getPath: (name: string): string => app.paths[name] ?? '/nowhere',
  getVersion: (): string => '9.8.7',
  getAppPath: (): string => path.join(import.meta.dirname, '../../..'),
  setAppUserModelId: vi.fn(),
  setAboutPanelOptions: vi.fn(),
  addRecentDocument: vi.fn(),
  commandLine: { appendSwitch: vi.fn() },
  isPackaged: false,
});

type Handler = (...args: never[]) => unknown;

interface Scheme {
  readonly scheme: string;
  readonly privileges: Record<string, boolean>;
}

export const protocol = {
  schemes: [] as Scheme[],
  handlers: {} as Record<string, (request: Request) => Promise<Response>>,
  registerSchemesAsPrivileged: (schemes: Scheme[]): void => {
    order.push('registerScheme');
    protocol.schemes = schemes;
  },
  handle: (scheme: string, handler: (request: Request) => Promise<Response>): void => {
    protocol.handlers[scheme] = handler;
  },
};

const defaultSession = {
  request: undefined as Handler | undefined,
  check: undefined as Handler | undefined,
  device: undefined as Handler | undefined,
  setPermissionRequestHandler: (handler: Handler): void => void (defaultSession.request = handler),
  setPermissionCheckHandler: (handler: Handler): void => void (defaultSession.check = handler),
  setDevicePermissionHandler: (handler: Handler): void => void (defaultSession.device = handler),
};
export const session = { defaultSession };

export const ipcMain = Object.assign(new EventEmitter(), {
  handlers: {} as Record<string, Handler>,
  handle: (channel: string, handler: Handler): void => void (ipcMain.handlers[channel] = handler),
});

export const ipcRenderer = Object.assign(new EventEmitter(), {
  invoke: vi.fn((..._args: unknown[]) => Promise.resolve({ ok: true, value: 1 })),
});

export const contextBridge = {
  exposed: {} as Record<string, unknown>,
  exposeInMainWorld: (name: string, api: unknown): void => void (contextBridge.exposed[name] = api),
};

export const dialog = {
  showErrorBox: vi.fn(),
  showMessageBox: vi.fn(() => Promise.resolve({ response: 0 })),
  showSaveDialog: vi.fn((..._args: unknown[]) => Promise.resolve({ canceled: true, filePath: '' })),
};

const shell = { openExternal: vi.fn(() => Promise.resolve()), openPath: vi.fn() };

/** A system that keeps secrets, by turning their letters round. */
export const safeStorage = {
  isAsyncEncryptionAvailable: vi.fn(() => Promise.resolve(true)),
  getSelectedStorageBackend: vi.fn(() => 'gnome_libsecret'),
  encryptStringAsync: (text: string) => Promise.resolve(Buffer.from([...text].reverse().join(''))),
  decryptStringAsync: (locked: Buffer) =>
    Promise.resolve({ result: [...locked.toString()].reverse().join(''), shouldReEncrypt: false }),
};

export const powerMonitor = new EventEmitter();

export const powerSaveBlocker = { start: vi.fn(() => 7), stop: vi.fn() };

/** @public Asked for by window-state.ts through the replaced module. */
export const screen = {
  getAllDisplays: () => [{ workArea: { x: 0, y: 0, width: 1920, height: 1080 } }],
};

export const Menu = {
  template: [] as Record<string, unknown>[],
  buildFromTemplate: (template: Record<string, unknown>[]) => template,
  setApplicationMenu: (menu: Record<string, unknown>[]): void => void (Menu.template = menu),
};

export default { app, ipcMain, shell };

/** Forgets everything, for the next test. */
export function resetElectron(): void {
  vi.clearAllMocks();
  order.length = 0;
  BrowserWindow.all = [];
  app.removeAllListeners();
  app.holdsLock = true;
  powerMonitor.removeAllListeners();
  ipcRenderer.removeAllListeners();
}
