// The browser host answers its own page only: by bearer token, Host and Origin; everything else is refused.
import { randomUUID } from 'node:crypto';
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
let opens: number;

beforeEach(async () => {
  root = temporaryDirectory();
  const view = path.join(root, 'view');
  fs.mkdirSync(path.join(view, 'assets'), { recursive: true });
  fs.writeFileSync(path.join(view, 'index.html'), '<title>the view</title>');
  fs.writeFileSync(path.join(view, 'assets', 'a.js'), 'let a;');
  fs.writeFileSync(path.join(root, 'secret.json'), '{"secret":1}');
  services = openTestServices(path.join(root, 'data'));
  opens = 0;
  host = await startBrowserHost({ services, view, port: 0, opened: () => opens++ });
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

const ours = () => ({
  origin: `http://127.0.0.1:${port}`,
  'content-type': 'application/json',
});
const tokenOf = (address: string): string => new URL(address).searchParams.get('token')!;

const redeem = (token: unknown, headers: http.OutgoingHttpHeaders = {}, tab?: string) =>
  ask('/session', {
    method: 'POST',
    body: JSON.stringify({ token, tab }),
    headers: { ...ours(), ...headers },
  });

/** The header that a page sends which was opened by the printed address. */
const bearer = async (): Promise<string> => {
  const { text } = await redeem(tokenOf(host.address));
  return `Bearer ${(JSON.parse(text) as { value: { session: string } }).value.session}`;
};

const call = async (name: string, body: string, headers: http.OutgoingHttpHeaders = {}) =>
  ask(`/call/${name}`, {
    method: 'POST',
    body,
    headers: { authorization: await bearer(), ...ours(), ...headers },
  });

describe('opening the page', () => {
  it('exchanges the printed token for one that the page keeps, once; no cookie is set', async () => {
    const first = await redeem(tokenOf(host.address));
    expect(first.status).toBe(200);
    expect(first.headers['set-cookie']).toBeUndefined();
    expect(opens).toBe(1);
    const again = await redeem(tokenOf(host.address));
    expect(again.status).toBe(403);
    expect(
      (JSON.parse(again.text) as { problems: { cure: string }[] }).problems[0]?.cure,
    ).toContain('fresh address');
    expect(opens).toBe(1);
  });

  it('answers the same tab again, whose answer may have been lost, and no other', async () => {
    const [ours, other] = [randomUUID(), randomUUID()];
    const bring = (tab: string) => redeem(tokenOf(host.address), {}, tab);
    const first = await bring(ours);
    expect(first.status).toBe(200);
    expect(await bring(ours)).toMatchObject({ status: 200, text: first.text });
    for (const tab of [other, '', 'short', ours.slice(1), 'x'.repeat(1000)]) {
      expect((await bring(tab)).status).toBe(403);
    }
    expect((await bring(ours)).status).toBe(200);
  });

  it.each([[''], ['wrong'], ['\0'], [null], [['a']], ['x'.repeat(10_000)]])(
    'refuses %j',
    async (token) => {
      expect((await redeem(token)).status).toBe(403);
    },
  );

  it('is refused to other pages', async () => {
    const token = tokenOf(host.address);
    expect((await redeem(token, { origin: 'http://evil.example' })).status).toBe(403);
    expect((await redeem(token, { 'sec-fetch-site': 'cross-site' })).status).toBe(403);
    expect((await redeem(token)).status).toBe(200);
  });

  it('serves the program’s own files with their policy', async () => {
    const page = await ask('/');
    expect(page.text).toBe('<title>the view</title>');
    expect(page.headers['content-security-policy']).toContain("default-src 'none'");
    expect(page.headers['x-content-type-options']).toBe('nosniff');
  });

  it('gives a second start a fresh address for its key, and nobody else', async () => {
    const by = (headers: http.OutgoingHttpHeaders) => ask('/address', { method: 'POST', headers });
    const key = { authorization: `Bearer ${host.doorkey}` };
    const { address } = JSON.parse((await by(key)).text) as { address: string };
    expect(tokenOf(address)).not.toBe(tokenOf(host.address));
    expect((await redeem(tokenOf(address))).status).toBe(200);
    for (const headers of [
      {},
      { authorization: await bearer() },
      { ...key, origin: `http://127.0.0.1:${port}` },
      { ...key, 'sec-fetch-site': 'same-origin' },
    ]) {
      expect((await by(headers)).status).toBe(403);
    }
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
    const answer = await ask(target);
    expect(answer.status).toBe(404);
    expect(answer.text).not.toContain('secret');
  });

  it('refuses names that resolve to this machine (DNS rebinding)', async () => {
    for (const name of ['evil.example', `localhost:${port}`, '127.0.0.1']) {
      expect((await ask('/', { headers: { host: name } })).status).toBe(403);
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
    ['a wrong token', { authorization: 'Bearer guess' }, 403],
    ['no token', { authorization: undefined }, 403],
    ['the key of a second start', { authorization: () => `Bearer ${host.doorkey}` }, 403],
    ['a form’s type', { 'content-type': 'text/plain' }, 415],
  ])('is refused from %s', async (_case, headers, status) => {
    const given = Object.fromEntries(
      Object.entries({
        authorization: await bearer(),
        ...ours(),
        ...headers,
      })
        .filter(([, value]) => value !== undefined)
        .map(([name, value]) => [name, typeof value === 'function' ? value() : value]),
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
    const answer = await ask('/call/host.info', { headers: { authorization: await bearer() } });
    expect(answer.status).toBe(405);
  });
});

describe('events', () => {
  it('reach the page as they happen', async () => {
    const authorization = await bearer();
    const text = await new Promise<string>((resolve, reject) => {
      const request = http.get(
        { host: '127.0.0.1', port, path: '/events', headers: { authorization } },
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

  it('are refused to other sites, and without the token', async () => {
    const authorization = await bearer();
    const evil = { authorization, origin: 'http://evil.example' };
    expect((await ask('/events', { headers: evil })).status).toBe(403);
    expect((await ask('/events')).status).toBe(403);
  });
});
