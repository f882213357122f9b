// The browser host answers its own page only: by address, cookie, Host and Origin; everything else is refused.
import fs from 'node:fs';
import http from 'node:http';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { BrowserHost } from '../../../app/browser-host/server.ts';
import { startBrowserHost } from '../../../app/browser-host/server.ts';
import type { ServiceHost } from '../../../app/services/machine/host.ts';
import { openTestServices, temporaryDirectory } from '../services/samples.ts';

let root: string;
let services: ServiceHost;
let host: BrowserHost;
let port: number;

beforeEach(async () => {
  root = temporaryDirectory();
  const view = path.join(root, 'view');
  fs.mkdirSync(path.join(view, 'assets'), { recursive: true });
  fs.writeFileSync(path.join(view, 'index.html'), '<title>the view</title>');
  fs.writeFileSync(path.join(view, 'assets', 'a.js'), 'let a;');
  fs.writeFileSync(path.join(root, 'secret.json'), '{"secret":1}');
  services = openTestServices(path.join(root, 'data'));
  host = await startBrowserHost({ services, view, port: 0 });
  port = Number(new URL(host.address).port);
});
afterEach(async () => {
  await host.close();
  services.close();
  fs.rmSync(root, { recursive: true, force: true });
});

interface Answer {
  readonly status: number;
  readonly headers: http.IncomingHttpHeaders;
  readonly text: string;
}

/** One request with exactly these headers (fetch would not let Host and Origin be chosen). */
function ask(
  target: string,
  options: { method?: string; headers?: http.OutgoingHttpHeaders; body?: string } = {},
): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const request = http.request(
      {
        host: '127.0.0.1',
        port,
        path: target,
        method: options.method ?? 'GET',
        headers: options.headers,
      },
      (response) => {
        let text = '';
        response.on('data', (chunk: Buffer) => (text += chunk.toString()));
        response.on('end', () =>
          resolve({ status: response.statusCode ?? 0, headers: response.headers, text }),
        );
      },
    );
    request.on('error', reject);
    request.end(options.body);
  });
}

const opened = async (): Promise<string> => {
  const { pathname, search } = new URL(host.address);
  const { headers } = await ask(pathname + search);
  return headers['set-cookie']![0]!.split(';')[0]!;
};

const call = async (name: string, body: string, headers: http.OutgoingHttpHeaders = {}) =>
  ask(`/call/${name}`, {
    method: 'POST',
    body,
    headers: {
      cookie: await opened(),
      origin: `http://127.0.0.1:${port}`,
      'content-type': 'application/json',
      ...headers,
    },
  });

describe('opening the page', () => {
  it('exchanges the printed token for a strict cookie, once', async () => {
    const { pathname, search } = new URL(host.address);
    const first = await ask(pathname + search);
    expect(first.status).toBe(303);
    expect(first.headers.location).toBe('/');
    expect(first.headers['set-cookie']![0]).toMatch(/; HttpOnly; SameSite=Strict; Path=\/$/);
    const again = await ask(pathname + search);
    expect(again.status).toBe(403);
    expect(again.headers['set-cookie']).toBeUndefined();
  });

  it('lets the browser that opened it come back by the same address', async () => {
    const cookie = await opened();
    const { pathname, search } = new URL(host.address);
    expect((await ask(pathname + search, { headers: { cookie } })).status).toBe(303);
  });

  it.each(['/?token=', '/?token=wrong', '/?token=%00'])('refuses %s', async (target) => {
    expect((await ask(target)).status).toBe(403);
  });

  it('serves the view with its policy to the known browser only', async () => {
    expect((await ask('/')).status).toBe(403);
    const page = await ask('/', { headers: { cookie: await opened() } });
    expect(page.text).toBe('<title>the view</title>');
    expect(page.headers['content-security-policy']).toContain("default-src 'none'");
    expect(page.headers['x-content-type-options']).toBe('nosniff');
  });

  it.each([
    '/../secret.json',
    '/%2e%2e/secret.json',
    '/..%2fsecret.json',
    '/assets/../../secret.json',
    '/%zz',
    '/assets',
    '/a.exe',
    '//etc/passwd',
  ])('never serves what is outside the view: %s', async (target) => {
    const answer = await ask(target, { headers: { cookie: await opened() } });
    expect(answer.status).toBe(404);
    expect(answer.text).not.toContain('secret');
  });

  it('refuses names that resolve to this machine (DNS rebinding)', async () => {
    const cookie = await opened();
    for (const name of ['evil.example', `localhost:${port}`, '127.0.0.1']) {
      expect((await ask('/', { headers: { cookie, host: name } })).status).toBe(403);
    }
  });
});

describe('a call', () => {
  it('is answered with an envelope', async () => {
    const answer = await call('host.info', '{}');
    expect(answer.status).toBe(200);
    expect(JSON.parse(answer.text)).toMatchObject({ ok: true, value: { kind: 'browser' } });
  });

  it.each([
    ['another origin', { origin: 'http://evil.example' }, 403],
    ['no origin', { origin: undefined }, 403],
    ['another site, says the browser', { 'sec-fetch-site': 'cross-site' }, 403],
    ['a wrong cookie', { cookie: 'rungwise=guess' }, 403],
    ['a form’s type', { 'content-type': 'text/plain' }, 415],
  ])('is refused from %s', async (_case, headers, status) => {
    const given = Object.fromEntries(
      Object.entries({
        cookie: await opened(),
        origin: `http://127.0.0.1:${port}`,
        'content-type': 'application/json',
        ...headers,
      }).filter(([, value]) => value !== undefined),
    );
    const answer = await ask('/call/host.info', { method: 'POST', body: '{}', headers: given });
    expect(answer.status).toBe(status);
  });

  it.each([
    ['nope', '{}', /no call ‘nope’/],
    ['__proto__', '{}', /no call/],
    ['toString', '{}', /no call/],
    ['log.append', '{"entries":[]}', /log\.append/],
    ['host.info', '{', /whole JSON/],
    ['host.info', '{"extra":1}', /host\.info/],
  ])('%s with %s names what is wrong', async (name, body, message) => {
    const answer = await call(name, body);
    expect(answer.status).toBe(400);
    expect(
      (JSON.parse(answer.text) as { problems: { message: string }[] }).problems[0]?.message,
    ).toMatch(message);
  });

  it('is refused when its body is larger than 32 MB', async () => {
    const answer = await call('charts.import', '{}', { 'content-length': 50 * 2 ** 20 }).catch(
      (error: NodeJS.ErrnoException) => error,
    );
    expect('status' in answer ? answer.status : answer.code).toBe(413);
  });

  it('by GET changes nothing', async () => {
    const answer = await ask('/call/host.info', { headers: { cookie: await opened() } });
    expect(answer.status).toBe(405);
  });
});

describe('events', () => {
  it('reach the page as they happen', async () => {
    const cookie = await opened();
    const text = await new Promise<string>((resolve, reject) => {
      const request = http.get(
        { host: '127.0.0.1', port, path: '/events', headers: { cookie } },
        (response) => {
          let seen = '';
          response.on('data', (chunk: Buffer) => {
            seen += chunk.toString();
            if (seen.startsWith(': open') && !seen.includes('event:')) {
              services.emit('power', { state: 'suspend' });
            } else {
              resolve(seen);
              request.destroy();
            }
          });
        },
      );
      request.on('error', reject);
    });
    expect(text).toContain('event: power\ndata: {"state":"suspend"}\n\n');
  });

  it('are refused to other sites', async () => {
    const cookie = await opened();
    const answer = await ask('/events', { headers: { cookie, origin: 'http://evil.example' } });
    expect(answer.status).toBe(403);
  });
});
