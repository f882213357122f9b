// Tests of a worker share a window, and none finds in it what another has left.
import type { BrowserContext, Page } from '@playwright/test';
import { expect, startHost, test } from './host.ts';

test.describe.configure({ mode: 'serial' });

/** In the page: all that it can leave to another page of its address. */
async function leaveEverything(): Promise<void> {
  localStorage.setItem('left', 'here');
  sessionStorage.setItem('left', 'here');
  document.cookie = 'left=here';
  window.name = 'left here';
  history.pushState({ left: 'here' }, '', '#/left');
  const opening = indexedDB.open('left', 1);
  await new Promise((resolve) => (opening.onsuccess = resolve));
  await (await caches.open('left')).put('/left', new Response('here'));
  const files = await navigator.storage.getDirectory();
  await files.getFileHandle('left', { create: true });
  // The one script of the program that any thread can run.
  const script = document.querySelector<HTMLLinkElement>('link[href*="rolldown-runtime"]')!.href;
  await navigator.serviceWorker.register(script, { type: 'module' });
  await new Promise<void>((held) => {
    void navigator.locks.request('left', () => {
      held();
      return new Promise(() => undefined);
    });
  });
  new BroadcastChannel('left').onmessage = ({ target }) =>
    (target as BroadcastChannel).postMessage('here');
  window.addEventListener('beforeunload', (event) => event.preventDefault());
  Reflect.set(Array.prototype, 'left', 'here');
  window.open(location.href, 'left');
}

/** In the page: what of all that is found. */
async function findAnything(): Promise<Record<string, unknown>> {
  const channel = new BroadcastChannel('left');
  const answers: unknown[] = [];
  channel.onmessage = ({ data }) => answers.push(data);
  channel.postMessage('who is there?');
  const { held } = await navigator.locks.query();
  const files: string[] = [];
  for await (const name of (await navigator.storage.getDirectory()).keys()) files.push(name);
  const database = (await indexedDB.databases()).map(({ name }) => name);
  return {
    local: { ...localStorage },
    session: Object.keys(sessionStorage),
    cookie: document.cookie,
    name: window.name,
    opener: window.opener as unknown,
    state: history.state as unknown,
    database,
    caches: await caches.keys(),
    files,
    workers: (await navigator.serviceWorker.getRegistrations()).length,
    locks: held,
    answers,
    prototype: Reflect.get(Array.prototype, 'left') as unknown,
    media: ['(prefers-color-scheme: dark)', 'print'].filter((query) => matchMedia(query).matches),
    size: [innerWidth, innerHeight],
    script: Reflect.get(window, 'left') as unknown,
    online: navigator.onLine,
    clipboard: (await navigator.permissions.query({ name: 'clipboard-read' as PermissionName }))
      .state,
  };
}

/** What of it no page can change, and what only the next one would see. */
const OF_THE_WINDOW = ['online', 'clipboard'];
const OF_THE_NEXT = ['opener', 'script'];

/** Everything that Playwright can change of a page, and a tab that stays open. */
async function changeEverything(page: Page): Promise<void> {
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  await page.setViewportSize({ width: 400, height: 300 });
  await page.addInitScript(() => Reflect.set(window, 'left', 'here'));
  await page.route('**/*', (route) => route.abort());
  await page.context().newPage();
  await page
    .context()
    .addCookies([{ name: 'other', value: 'here', domain: 'other.test', path: '/' }]);
}

/** And of a window. */
async function changeTheWindow(context: BrowserContext): Promise<void> {
  await context.grantPermissions(['clipboard-read']);
  await context.addInitScript(() => Reflect.set(window, 'left', 'here'));
  await context.setExtraHTTPHeaders({ origin: 'http://left.test' });
  await context.setOffline(true);
}

const windows: BrowserContext[] = [];
/** What is found in a window that nobody has used. */
let asNew: Awaited<ReturnType<typeof findAnything>>;

test('a test leaves everything that a page can leave', async ({ trainer: page, browser }) => {
  const other = await startHost();
  const fresh = await browser.newContext();
  const first = await fresh.newPage();
  await first.goto(`${other.address}#/charts`);
  await expect(first.getByRole('heading', { level: 1 })).toBeVisible();
  asNew = await first.evaluate(findAnything);
  await fresh.close();
  await other.close();

  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  expect(await page.evaluate(findAnything)).toEqual(asNew);
  await page.evaluate(leaveEverything);
  await changeEverything(page);
  const left = await page.evaluate(findAnything);
  for (const [what, nothing] of Object.entries(asNew)) {
    if (![...OF_THE_WINDOW, ...OF_THE_NEXT].includes(what))
      expect(left[what], what).not.toEqual(nothing);
  }
  windows.push(page.context());
});

async function expectAsNew(page: Page): Promise<void> {
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  expect(await page.evaluate(findAnything)).toEqual(asNew);
  expect(await page.evaluate(() => history.length)).toBe(1);
  expect(page.context().pages()).toEqual([page]);
  expect(await page.context().cookies()).toEqual([]);
}

test('the next finds the same window, and nothing in it', async ({ trainer: page, context }) => {
  expect(context).toBe(windows[0]);
  await expectAsNew(page);
});

test('a test changes the window itself', async ({ trainer: page, context }) => {
  expect(context).toBe(windows[0]);
  await changeTheWindow(context);
  const changed = await page.evaluate(findAnything);
  for (const what of OF_THE_WINDOW) expect(changed[what], what).not.toEqual(asNew[what]);
});

test('the next finds another window, as new', async ({ trainer: page, context }) => {
  expect(windows).not.toContain(context);
  windows.push(context);
  await expectAsNew(page);
});

test('a test loses its window by a crash', async ({ trainer: page, context }) => {
  expect(context).toBe(windows[1]);
  const crashed = page.waitForEvent('crash');
  await page.goto('chrome://crash').catch(() => undefined);
  await crashed;
});

test('the next finds another, as new', async ({ trainer: page, context }) => {
  expect(windows).not.toContain(context);
  await expectAsNew(page);
});

test.describe('with options of its own', () => {
  test.use({ locale: 'de-DE', viewport: { width: 500, height: 400 } });
  test('a test has a window of its own', async ({ trainer: page, context }) => {
    windows.push(context);
    expect(await page.evaluate(() => [navigator.language, innerWidth])).toEqual(['de-DE', 500]);
  });
});

test('and leaves no such window to others', async ({ trainer: page, context }) => {
  expect(windows).not.toContain(context);
  expect(await page.evaluate(() => [navigator.language, innerWidth])).toEqual(['en-US', 1280]);
});

test('where its port is taken, a host is served at another', async ({ page, host, kept }) => {
  const elsewhere = await startHost({ port: kept.port });
  const { origin, port } = new URL(elsewhere.address);
  expect([String(kept.port), new URL(host.address).port]).not.toContain(port);
  await page.goto(elsewhere.address);
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  expect(new URL(page.url()).origin).toBe(origin);
  await elsewhere.close();
});
