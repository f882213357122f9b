// Electron's `webContents` over a page of Chromium: loading, navigation, IPC with the real preload, crash, print.
import { EventEmitter } from 'node:events';
import fs from 'node:fs';
import type { CDPSession, Frame, Page } from '@playwright/test';
import { inner, outer } from './address.ts';
import { ipcMain } from './ipc.ts';
import { isolatedWorld, mainWorld } from './page-scripts.ts';
import { cancellable, engine, note, record } from './record.ts';
import { theSession } from './session.ts';

const WORLD = 'preload of the stand-in';
const SECRET = `standin-${Math.random().toString(36).slice(2)}`;

export interface WebPreferences {
  readonly preload?: string;
  readonly [more: string]: unknown;
}

interface Asked {
  readonly id: number;
  readonly kind: 'invoke' | 'send' | 'permission';
  readonly channel: string;
  readonly args: unknown[];
}

/** The frame as `senderFrame` shows it. */
class FrameOf {
  readonly frame: Frame;
  constructor(frame: Frame) {
    this.frame = frame;
  }
  get url(): string {
    return inner(this.frame.url());
  }
}

export const contentsOf = new WeakMap<Page, WebContents>();

export class WebContents extends EventEmitter {
  readonly session = theSession;
  readonly prefs: WebPreferences;
  page!: Page;
  destroyed = false;
  crashed = false;
  #cdp!: CDPSession;
  #world: number | undefined;
  #frames = new WeakMap<Frame, FrameOf>();
  #mayOpen: (details: { url: string }) => { action: string } = () => ({ action: 'allow' });
  /** The program itself asked for the next load of the page. */
  #expected = false;

  constructor(prefs: WebPreferences) {
    super();
    this.prefs = prefs;
  }

  async attach(): Promise<void> {
    const page = await engine.context!.newPage();
    this.page = page;
    contentsOf.set(page, this);
    this.#listenTo(page);
    this.#cdp = await engine.context!.newCDPSession(page);
    await this.#connectWorlds();
  }

  #listenTo(page: Page): void {
    page.on('console', (message) => {
      const type = message.type();
      if (type === 'error' || type === 'warning') record.console.push([type, message.text()]);
    });
    page.on('pageerror', (error) =>
      record.console.push(['pageerror', String(error.stack ?? error)]),
    );
    page.on('crash', () => this.#crash(page));
    page.on('download', (download) => record.downloads.push(download));
    page.on('popup', (popup) => {
      const { action } = this.#mayOpen({ url: inner(popup.url()) });
      note('window-open', action);
      if (action === 'deny') void popup.close().catch(() => undefined);
    });
    page.on('load', () => this.emit('did-finish-load', {}));
    page.on('framenavigated', (frame) => {
      if (frame === page.mainFrame()) this.emit('did-navigate-in-page', {}, this.getURL(), true);
    });
  }

  #crash(page: Page): void {
    if (page !== this.page) return;
    this.crashed = true;
    const details = { reason: 'crashed', exitCode: 5 };
    this.emit('render-process-gone', {}, details);
    crashListeners.forEach((tell) => tell(this, details));
  }

  async #connectWorlds(): Promise<void> {
    const cdp = this.#cdp;
    await cdp.send('Runtime.enable');
    await cdp.send('Page.enable');
    const { frameTree } = await cdp.send('Page.getFrameTree');
    cdp.on('Runtime.executionContextCreated', ({ context }) => {
      const { frameId } = context.auxData as { frameId?: string };
      if (context.name === WORLD && frameId === frameTree.frame.id) this.#world = context.id;
    });
    cdp.on('Runtime.executionContextDestroyed', ({ executionContextId }) => {
      if (this.#world === executionContextId) this.#world = undefined;
    });
    cdp.on('Runtime.bindingCalled', ({ name, payload, executionContextId }) => {
      if (name === 'standinAsk') void this.#asked(JSON.parse(payload) as Asked, executionContextId);
    });
    await cdp.send('Runtime.addBinding', { name: 'standinAsk', executionContextName: WORLD });
    await cdp.send('Page.addScriptToEvaluateOnNewDocument', { source: mainWorld(SECRET) });
    if (this.prefs.preload === undefined) return;
    const code = fs.readFileSync(this.prefs.preload, 'utf8');
    if (/^\s*(import|export)\s/m.test(code))
      throw new Error('a sandboxed preload must be CommonJS');
    const source = isolatedWorld(SECRET, code);
    await cdp.send('Page.addScriptToEvaluateOnNewDocument', { source, worldName: WORLD });
  }

  get mainFrame(): FrameOf {
    const frame = this.page.mainFrame();
    const known = this.#frames.get(frame) ?? new FrameOf(frame);
    this.#frames.set(frame, known);
    return known;
  }
  getURL = (): string => inner(this.page?.url() ?? '');
  isDestroyed = (): boolean => this.destroyed;
  isCrashed = (): boolean => this.crashed;

  async #asked({ id, kind, channel, args }: Asked, world: number): Promise<void> {
    const reply = await this.#answer(kind, channel, args).then(
      (value) => ({ id, ok: true, value }),
      (error: unknown) => {
        record.violations.push(['ipc', channel, String(error)]);
        return {
          id,
          ok: false,
          error: `Error invoking remote method '${channel}': ${String(error)}`,
        };
      },
    );
    await this.#evaluate(world, `globalThis.standinReply(${JSON.stringify(reply)})`);
  }

  async #answer(kind: Asked['kind'], channel: string, args: unknown[]): Promise<unknown> {
    if (kind === 'permission') return this.#permission(...(args as [string, string, object]));
    const event = { sender: this, senderFrame: this.mainFrame };
    // What cannot be cloned fails here as it fails in Electron.
    if (kind === 'invoke') return structuredClone(await ipcMain.answer(channel, event, args));
    ipcMain.emit(channel, event, ...args);
    return undefined;
  }

  async #permission(mode: string, permission: string, more: object): Promise<boolean> {
    const requestingUrl = this.getURL();
    const securityOrigin = `${requestingUrl.split('/').slice(0, 3).join('/')}/`;
    const details = { requestingUrl, securityOrigin, isMainFrame: true, ...more };
    const { check, request } = theSession;
    const answer =
      mode === 'check'
        ? (check?.(this, permission, securityOrigin, details) ?? true)
        : await new Promise<boolean>((done) =>
            request ? request(this, permission, done, details) : done(true),
          );
    record.permissions.push({ permission: `${permission} ${JSON.stringify(more)}`, answer });
    return answer;
  }

  #evaluate(contextId: number, expression: string): Promise<unknown> {
    return this.#cdp.send('Runtime.evaluate', { contextId, expression }).catch(() => undefined);
  }

  async loadURL(url: string): Promise<void> {
    note('loadURL', url);
    if (this.crashed) await this.#replacePage();
    this.#expected = true;
    await this.page.goto(outer(url)).catch((error: unknown) => {
      this.emit('did-fail-load', {}, -2, String(error), url, true);
      throw error;
    });
  }
  /** A crashed page of Chromium cannot be used again. */
  async #replacePage(): Promise<void> {
    const old = this.page;
    await this.attach();
    this.crashed = false;
    await old.close().catch(() => undefined);
  }
  reload(): void {
    this.#expected = true;
    this.emit('did-start-navigation', { isMainFrame: true, isSameDocument: false });
    void this.page.reload();
  }

  /** May the navigation go on? Asked for every navigation of every frame. */
  mayNavigate(frame: Frame, url: string): boolean {
    const main = frame === this.page.mainFrame();
    const asked = main && this.#expected;
    if (asked) this.#expected = false;
    const event = { ...cancellable(), url: inner(url), isMainFrame: main };
    if (!asked && main) this.emit('will-navigate', event, inner(url));
    if (!asked) this.emit('will-frame-navigate', event);
    note('navigation', inner(url), event.defaultPrevented ? 'refused' : 'allowed');
    if (main && !event.defaultPrevented) {
      this.emit('did-start-navigation', { isMainFrame: true, isSameDocument: false });
    }
    return !event.defaultPrevented;
  }

  send(channel: string, ...args: unknown[]): void {
    const plain = structuredClone(args);
    note('send', channel, ...plain);
    if (this.#world === undefined) return;
    const call = `globalThis.standinEvent(${JSON.stringify(channel)}, ${JSON.stringify(plain)})`;
    void this.#evaluate(this.#world, call);
  }
  setWindowOpenHandler(handler: (details: { url: string }) => { action: string }): void {
    this.#mayOpen = handler;
  }
  setBackgroundThrottling(on: boolean): void {
    record.throttling.push(on);
  }
  async printToPDF({ pageSize = 'Letter' }: { pageSize?: string } = {}): Promise<Buffer> {
    return this.page.pdf({ format: pageSize, preferCSSPageSize: true });
  }
  forcefullyCrashRenderer(): void {
    void this.#cdp.send('Page.crash').catch(() => undefined);
  }
  /** Gives the page's drag and drop a path for a file's name, as `webUtils.getPathForFile` finds it. */
  async lendPath(name: string, file: string): Promise<void> {
    const paths = `globalThis.standinPaths = { ${JSON.stringify(name)}: ${JSON.stringify(file)} }`;
    if (this.#world !== undefined) await this.#evaluate(this.#world, paths);
  }
}

type CrashListener = (contents: WebContents, details: { reason: string }) => void;

/** `app` passes crashes on; it knows the windows, so the windows cannot know it. */
export const crashListeners = new Set<CrashListener>();
