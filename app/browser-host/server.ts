// The browser host: the same trainer on 127.0.0.1 only, for the one browser that opens the printed address.
import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { z } from 'zod';
import { checked } from '../core/base/checked.ts';
import type { Envelope } from '../services/contract/contract.ts';
import type { ServiceHost } from '../services/machine/host.ts';
import {
  answerCall,
  badRequest,
  readInput,
  sendEnvelope,
  sendJson,
  sendText,
  sendViewFile,
  streamEvents,
} from './answers.ts';
import type { Guard } from './guard.ts';
import { makeGuard } from './guard.ts';

export interface BrowserHost {
  /** With a one-time token; it opens the trainer once. */
  readonly address: string;
  readonly port: number;
  /** What a second start asks for a fresh address with. */
  readonly doorkey: string;
  readonly close: () => Promise<void>;
}

export interface BrowserHostOptions {
  readonly services: ServiceHost;
  /** Folder of the built view. */
  readonly view: string;
  /** 0 takes any free port. */
  readonly port: number;
  /** A page was opened by an address. */
  readonly opened?: () => void;
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
    address: newAddress(guard, port),
    port,
    doorkey: guard.doorkey,
    close: () => close(server),
  };
}

const newAddress = (guard: Guard, port: number): string =>
  `http://127.0.0.1:${port}/?token=${guard.newToken()}`;

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
  options: BrowserHostOptions,
): Promise<void> {
  if (!guard.isForUs(request)) return sendText(response, 403, 'This address is not served here.');
  const url = URL.parse(request.url ?? '/', 'http://127.0.0.1');
  if (!url) return sendText(response, 400, 'The address is malformed.');
  if (url.pathname === '/address') return giveAddress(request, response, guard);
  if (url.pathname === '/session') return openSession(request, response, guard, options);
  if (url.pathname.startsWith('/call/'))
    return call(request, response, guard, options.services, url.pathname.slice('/call/'.length));
  if (request.method !== 'GET') return sendText(response, 405, 'Only GET is answered here.');
  if (url.pathname === '/events') {
    if (guard.isKnown(request) && guard.isFromOurPage(request))
      return streamEvents(response, options.services);
    return sendText(response, 403, 'Events go to the trainer’s own page only.');
  }
  // The program's own files hold nothing of anybody's.
  return sendViewFile(response, options.view, url.pathname);
}

/** To another start of the program, which could read its key in the data folder. */
function giveAddress(request: IncomingMessage, response: ServerResponse, guard: Guard): void {
  if (request.method !== 'POST' || !guard.isAnotherStart(request))
    return sendText(response, 403, 'Addresses are given to the program itself only.');
  sendJson(response, 200, { address: newAddress(guard, request.socket.localPort!) });
}

const opening = z.object({
  token: z.string().max(100),
  tab: z.string().min(20).max(100).optional(),
});

/** A page brings the token of its address and gets what its calls are to carry. */
async function openSession(
  request: IncomingMessage,
  response: ServerResponse,
  guard: Guard,
  { opened }: BrowserHostOptions,
): Promise<void> {
  if (request.method !== 'POST')
    return sendEnvelope(response, 405, badRequest('Sessions are opened by POST.'));
  if (!guard.isFromOurPage(request)) return sendEnvelope(response, 403, notOurPage);
  const input = await readInput(request, response);
  if (!input) return;
  const asked = checked(opening, input.value);
  const session = asked.success ? guard.redeem(asked.data.token, asked.data.tab) : undefined;
  if (session === undefined) return sendEnvelope(response, 403, stranger);
  opened?.();
  sendEnvelope(response, 200, { ok: true, value: { session } });
}

const notOurPage = badRequest('The call does not come from the trainer’s page.');

const stranger = {
  ok: false,
  problems: [
    {
      code: 'stranger',
      message:
        'This page was not opened by the address that the program printed, or that address was used already.',
      cure: 'Start Rungwise once more: it gives you a fresh address. What you played is kept.',
    },
  ],
} as const satisfies Envelope<never>;

async function call(
  request: IncomingMessage,
  response: ServerResponse,
  guard: Guard,
  services: ServiceHost,
  name: string,
): Promise<void> {
  if (request.method !== 'POST')
    return sendEnvelope(response, 405, badRequest('Calls are sent by POST.'));
  if (!guard.isFromOurPage(request)) return sendEnvelope(response, 403, notOurPage);
  if (!guard.isKnown(request)) return sendEnvelope(response, 403, stranger);
  return answerCall(request, response, services, name);
}
