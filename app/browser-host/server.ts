// The browser host: the same trainer on 127.0.0.1 only, for the one browser that opens the printed address.
import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { ServiceHost } from '../services/machine/host.ts';
import {
  answerCall,
  badRequest,
  sendEnvelope,
  sendRedirect,
  sendText,
  sendViewFile,
  streamEvents,
} from './answers.ts';
import type { Guard } from './guard.ts';
import { makeGuard } from './guard.ts';

export interface BrowserHost {
  /** With the one-time token; it opens the trainer once. */
  readonly address: string;
  readonly close: () => Promise<void>;
}

export interface BrowserHostOptions {
  readonly services: ServiceHost;
  /** Folder of the built view. */
  readonly view: string;
  /** 0 takes any free port. */
  readonly port: number;
}

/** @throws Error with code EADDRINUSE when the port is taken. */
export async function startBrowserHost(options: BrowserHostOptions): Promise<BrowserHost> {
  const server = createServer((request, response) => {
    respond(request, response, guard, options).catch((error: unknown) => {
      console.error(error);
      if (!response.headersSent) sendText(response, 500, 'Something went wrong in the program.');
      else response.destroy();
    });
  });
  const guard = makeGuard(() => (server.address() as AddressInfo).port);
  await listen(server, options.port);
  const { port } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}/?token=${guard.token}`,
    close: () => close(server),
  };
}

function listen(server: Server, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, '127.0.0.1', resolve);
  });
}

function close(server: Server): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve());
    server.closeAllConnections();
  });
}

async function respond(
  request: IncomingMessage,
  response: ServerResponse,
  guard: Guard,
  { services, view }: BrowserHostOptions,
): Promise<void> {
  if (!guard.isForUs(request)) return sendText(response, 403, 'This address is not served here.');
  const url = URL.parse(request.url ?? '/', 'http://127.0.0.1');
  if (!url) return sendText(response, 400, 'The address is malformed.');
  const token = url.searchParams.get('token');
  if (request.method === 'GET' && token !== null) return open(request, response, guard, token);
  if (!guard.isKnown(request)) return sendText(response, 403, STRANGER);
  if (url.pathname.startsWith('/call/')) {
    return call(request, response, guard, services, url.pathname.slice('/call/'.length));
  }
  if (request.method !== 'GET') return sendText(response, 405, 'Only GET is answered here.');
  if (url.pathname === '/events') {
    if (guard.isFromOurPage(request)) return streamEvents(response, services);
    return sendText(response, 403, 'Events go to the trainer’s own page only.');
  }
  return sendViewFile(response, view, url.pathname);
}

const STRANGER =
  'This browser has not opened the trainer by the address printed at its start. ' +
  'Use that browser, or stop the program and start it again for a new address.';

function open(
  request: IncomingMessage,
  response: ServerResponse,
  guard: Guard,
  token: string,
): void {
  if (guard.isKnown(request)) return sendRedirect(response);
  const cookie = guard.redeem(token);
  if (cookie) return sendRedirect(response, cookie);
  sendText(response, 403, `The address is wrong or was used already. ${STRANGER}`);
}

async function call(
  request: IncomingMessage,
  response: ServerResponse,
  guard: Guard,
  services: ServiceHost,
  name: string,
): Promise<void> {
  if (request.method !== 'POST') {
    return sendEnvelope(response, 405, badRequest('Calls are sent by POST.'));
  }
  if (!guard.isFromOurPage(request)) {
    return sendEnvelope(
      response,
      403,
      badRequest('The call does not come from the trainer’s page.'),
    );
  }
  return answerCall(request, response, services, name);
}
