// Starts Chromium behind the stand-in, and answers what it asks of the program's own scheme.
import fs from 'node:fs';
import http from 'node:http';
import type { AddressInfo } from 'node:net';
import path from 'node:path';
import { chromium, type Frame, type Request as Asked } from '@playwright/test';
import { launchOptions } from '../../browser/chromium.ts';
import { FRAME_MS, fewFrames } from '../../support/few-frames.ts';
import { inner, resolverRules } from './address.ts';
import { app } from './app.ts';
import { contentsOf } from './contents.ts';
import { engine, note, record } from './record.ts';

/** After the main module has been evaluated: starts the browser, then says `ready`. */
export async function start(args: readonly string[]): Promise<void> {
  const profile = path.join(app.getPath('userData'), 'standin-chromium');
  fs.mkdirSync(profile, { recursive: true });
  const server = http.createServer((request, response) => void serve(request, response));
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  server.unref();
  const { port } = server.address() as AddressInfo;
  const usual = launchOptions();
  engine.context = await chromium.launchPersistentContext(profile, {
    executablePath: usual.executablePath!,
    acceptDownloads: true,
    args: [...usual.args!, `--host-resolver-rules=${resolverRules(port)}`, ...args],
  });
  await engine.context.addInitScript(fewFrames, FRAME_MS.played);
  await engine.context.grantPermissions(['microphone']);
  await engine.context.route('**/*', async (route) =>
    mayGoOn(route.request()) ? route.continue() : route.abort('aborted'),
  );
  engine.context.on('requestfailed', (request) => {
    const why = request.failure()?.errorText;
    if (!request.isNavigationRequest() && why !== 'net::ERR_ABORTED') {
      record.violations.push(['request failed', inner(request.url()), why]);
    }
  });
  engine.ready = true;
  app.emit('will-finish-launching');
  app.emit('ready', {}, {});
}

/** Only navigations are looked at; workers and worklets go straight to the server. */
function mayGoOn(request: Asked): boolean {
  if (!request.isNavigationRequest()) return true;
  const frame = frameOf(request);
  const contents = frame && contentsOf.get(frame.page());
  return !contents || contents.mayNavigate(frame, request.url());
}

function frameOf(request: Asked): Frame | undefined {
  try {
    return request.frame();
  } catch {
    return undefined;
  }
}

async function serve(request: http.IncomingMessage, response: http.ServerResponse): Promise<void> {
  const url = inner(`http://${request.headers.host}${request.url}`);
  record.requests.push(url);
  const handler = engine.handlers.get(url.split(':')[0]!);
  try {
    if (!handler) throw new Error('nobody handles this scheme');
    const answer = await handler(new Request(url, { method: request.method! }));
    if (answer.status >= 400) note('status', answer.status, url);
    const body = Buffer.from(await answer.arrayBuffer());
    response.writeHead(answer.status, Object.fromEntries(answer.headers)).end(body);
  } catch (error) {
    record.violations.push(['protocol handler', url, String(error)]);
    response.destroy();
  }
}
