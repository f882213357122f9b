// Electron's `BrowserWindow`: one page each, shown when it has drawn itself.
import { EventEmitter } from 'node:events';
import fs from 'node:fs';
import path from 'node:path';
import { type WebPreferences, WebContents } from './contents.ts';
import { assertReady, cancellable, note, record } from './record.ts';

interface Bounds {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

interface Options extends Partial<Bounds> {
  readonly show?: boolean;
  readonly icon?: unknown;
  readonly webPreferences?: WebPreferences;
}

type Made = (window: BrowserWindow) => void;

export class BrowserWindow extends EventEmitter {
  static readonly all: BrowserWindow[] = [];
  static readonly made = new Set<Made>();
  /** Told when the last window was closed by its user. */
  static readonly noneLeft = new Set<() => void>();
  static getAllWindows = (): BrowserWindow[] => [...BrowserWindow.all];
  static getFocusedWindow = (): BrowserWindow | null => BrowserWindow.all[0] ?? null;
  static fromWebContents = (contents: WebContents): BrowserWindow | null =>
    BrowserWindow.all.find((window) => window.webContents === contents) ?? null;

  readonly options: Options;
  readonly webContents: WebContents;
  readonly #attached: Promise<void>;
  visible: boolean;
  minimized = false;
  destroyed = false;
  bounds: Bounds;

  constructor(options: Options = {}) {
    super();
    assertReady('BrowserWindow');
    this.options = options;
    checkFiles(options);
    this.visible = options.show !== false;
    const { x = 360, y = 140, width = 800, height = 600 } = options;
    this.bounds = { x, y, width, height };
    this.webContents = new WebContents(options.webPreferences ?? {});
    BrowserWindow.all.push(this);
    BrowserWindow.made.forEach((tell) => tell(this));
    this.#attached = this.#attach();
  }

  async #attach(): Promise<void> {
    await this.webContents.attach();
    const { width, height } = this.bounds;
    await this.webContents.page.setViewportSize({ width, height });
    this.webContents.once('did-finish-load', () => void this.#drawn());
  }
  async #drawn(): Promise<void> {
    await this.webContents.page
      .evaluate(
        () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
      )
      .catch(() => undefined);
    this.emit('ready-to-show');
  }

  async loadURL(url: string): Promise<void> {
    await this.#attached;
    await this.webContents.loadURL(url);
  }
  show(): void {
    this.visible = true;
    note('show');
    this.emit('show');
  }
  focus = (): void => note('focus');
  isVisible = (): boolean => this.visible;
  isMinimized = (): boolean => this.minimized;
  isDestroyed = (): boolean => this.destroyed;
  isMaximized = (): boolean => false;
  isFullScreen = (): boolean => false;
  setFullScreen = (on: boolean): void => note('setFullScreen', on);
  minimize(): void {
    this.minimized = true;
    this.emit('minimize');
  }
  restore(): void {
    this.minimized = false;
    note('restore');
  }
  getBounds = (): Bounds => this.bounds;
  getNormalBounds = (): Bounds => this.bounds;
  setBounds(bounds: Partial<Bounds>): void {
    this.bounds = { ...this.bounds, ...bounds };
    note('setBounds', this.bounds);
  }
  center = (): void => note('center');

  async closeNow(): Promise<boolean> {
    const event = cancellable();
    this.emit('close', event);
    if (event.defaultPrevented) return false;
    await this.webContents.page.close().catch(() => undefined);
    this.destroyed = this.webContents.destroyed = true;
    this.webContents.emit('destroyed');
    BrowserWindow.all.splice(BrowserWindow.all.indexOf(this), 1);
    this.emit('closed');
    return true;
  }
  /** As by the window's own button. */
  async close(): Promise<void> {
    const closed = await this.closeNow();
    if (closed && BrowserWindow.all.length === 0) BrowserWindow.noneLeft.forEach((tell) => tell());
  }
}

function checkFiles({ icon, webPreferences }: Options): void {
  const preload = webPreferences?.preload;
  for (const file of [icon, preload]) {
    if (typeof file === 'string' && !fs.existsSync(file)) record.violations.push(['missing', file]);
  }
  if (preload !== undefined && !path.isAbsolute(preload)) {
    record.violations.push(['a preload needs an absolute path', preload]);
  }
}
