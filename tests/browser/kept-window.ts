// One window for all tests of a worker: the process that draws its tabs stays, with the program's code already compiled.
import { createServer, type AddressInfo } from 'node:net';
import type {
  Browser,
  BrowserContext,
  BrowserContextOptions,
  CDPSession,
  Page,
} from '@playwright/test';
import { PAGE_HEADERS } from '../../app/services/machine/content-policy.ts';

/** Whatever changes a window itself is not undone one by one: the next test gets another window. */
const CHANGES = [
  ...(['addInitScript', 'exposeBinding', 'exposeFunction'] as const),
  ...(['route', 'routeFromHAR', 'routeWebSocket'] as const),
  ...(['addListener', 'on', 'once', 'prependListener'] as const),
  ...(['grantPermissions', 'setGeolocation', 'setOffline'] as const),
  ...(['setExtraHTTPHeaders', 'setHTTPCredentials', 'setStorageState'] as const),
  ...(['setDefaultTimeout', 'setDefaultNavigationTimeout'] as const),
] as const satisfies readonly (keyof BrowserContext)[];
const CLOCK_CHANGES = [
  ...(['fastForward', 'install', 'pauseAt', 'resume', 'runFor'] as const),
  ...(['setFixedTime', 'setSystemTime'] as const),
] as const satisfies readonly (keyof BrowserContext['clock'])[];

interface Open {
  readonly context: BrowserContext;
  /** An empty page of the program's address; while it is open, its process is kept for the next tab. */
  readonly keeper: Page;
  readonly storage: CDPSession;
  /** Every address that a tab has shown. */
  readonly origins: Set<string>;
  readonly asked: string;
  /** A test has changed it, or it has crashed. */
  isSpent: boolean;
}

/** What a page leaves is cleared from test to test; a window that differs otherwise is not used again. */
export class KeptWindow {
  /** Hosts of all tests are served here one after the other, since a process draws one origin alone. */
  readonly port: number;
  readonly #browser: Browser;
  readonly #prepare: (context: BrowserContext) => Promise<void>;
  #open: Open | undefined;

  private constructor(
    browser: Browser,
    prepare: (context: BrowserContext) => Promise<void>,
    port: number,
  ) {
    this.#browser = browser;
    this.#prepare = prepare;
    this.port = port;
  }

  /** @param prepare What each new window needs, the same for all tests. */
  static async of(
    browser: Browser,
    prepare: (context: BrowserContext) => Promise<void>,
  ): Promise<KeptWindow> {
    return new KeptWindow(browser, prepare, await freePort());
  }

  /** The window, without a tab. Other options than those of the last test make another one. */
  async context(options: BrowserContextOptions): Promise<BrowserContext> {
    const asked = JSON.stringify(options);
    if (this.#open?.asked !== asked) await this.close();
    this.#open ??= await this.#openNew(options, asked);
    return this.#open.context;
  }

  /** Closes every tab of a test, and leaves nothing of what it stored. */
  async clear(): Promise<void> {
    if (!this.#open) return;
    const { context, storage, origins } = this.#open;
    await Promise.all(context.pages().map((page) => page.close({ reason: 'Test ended.' })));
    if (this.#open.isSpent) return this.close();
    await context.clearCookies();
    for (const origin of origins) {
      await storage.send('Storage.clearDataForOrigin', { origin, storageTypes: 'all' });
    }
    origins.clear();
  }

  async close(): Promise<void> {
    await this.#open?.context.close();
    this.#open = undefined;
  }

  async #openNew(options: BrowserContextOptions, asked: string): Promise<Open> {
    const context = await this.#browser.newContext(options);
    await this.#prepare(context);
    const keeper = await context.newPage();
    // With the program's own headers, since they decide which pages may share a process.
    await keeper.route('**', (route) =>
      route.fulfill({ headers: PAGE_HEADERS, contentType: 'text/html', body: '' }),
    );
    await keeper.goto(`http://127.0.0.1:${this.port}/`);
    const storage = await context.newCDPSession(keeper);
    const open: Open = {
      ...{ context, keeper, storage, asked },
      ...{ origins: new Set<string>(), isSpent: false },
    };
    keeper.on('crash', () => (open.isSpent = true));
    context.on('page', (page) => noteOrigins(page, open.origins));
    showOnlyTabs(context, keeper);
    noteChanges(open);
    return open;
  }
}

function noteOrigins(page: Page, origins: Set<string>): void {
  page.on('framenavigated', (frame) => {
    const { origin, protocol } = new URL(frame.url());
    if (protocol.startsWith('http')) origins.add(origin);
  });
}

/** A new tab is opened by the keeper, in its process from the start, and knows nothing of it. */
function showOnlyTabs(context: BrowserContext, keeper: Page): void {
  const all = context.pages.bind(context);
  context.pages = () => all().filter((page) => page !== keeper);
  context.newPage = async () => {
    const coming = keeper.waitForEvent('popup');
    await keeper.evaluate(() => void window.open('about:blank'));
    const page = await coming;
    await page.evaluate(() => (window.opener = null));
    return page;
  };
}

function noteChanges(open: Open): void {
  const spend = (): void => void (open.isSpent = true);
  for (const change of CHANGES) callFirst(open.context, change, spend);
  for (const change of CLOCK_CHANGES) callFirst(open.context.clock, change, spend);
}

function callFirst<T extends object>(thing: T, name: keyof T, first: () => void): void {
  const does = thing[name] as (...given: unknown[]) => unknown;
  const noted = (...given: unknown[]): unknown => {
    first();
    return Reflect.apply(does, thing, given);
  };
  Object.assign(thing, { [name]: noted });
}

/** Any; should somebody else have taken it when a host comes, that host is served elsewhere. */
async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}
