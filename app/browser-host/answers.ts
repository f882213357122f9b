// How the browser host answers: pages and files of the view, envelopes of calls, the stream of events.
import fs from 'node:fs';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { PAGE_HEADERS } from '../services/machine/content-policy.ts';
import type { Envelope } from '../services/contract/contract.ts';
import type { ServiceHost } from '../services/machine/host.ts';
import { viewFile } from '../services/machine/view-files.ts';

/** Largest body of a call, in bytes: an imported file with every character escaped. */
export const MAX_BODY = 32 * 1024 * 1024;
/** An idle stream is kept open by a comment this often. */
const KEEP_ALIVE_MS = 20_000;

export function sendText(response: ServerResponse, status: number, text: string): void {
  response.writeHead(status, { ...PAGE_HEADERS, 'content-type': 'text/plain; charset=utf-8' });
  response.end(`${text}\n`);
}

export function sendRedirect(response: ServerResponse, cookie?: string): void {
  response.writeHead(303, {
    ...PAGE_HEADERS,
    location: '/',
    ...(cookie ? { 'set-cookie': cookie } : {}),
  });
  response.end();
}

export function sendEnvelope(
  response: ServerResponse,
  status: number,
  envelope: Envelope<unknown>,
): void {
  response.writeHead(status, { ...PAGE_HEADERS, 'content-type': 'application/json' });
  response.end(JSON.stringify(envelope));
}

export function sendViewFile(response: ServerResponse, folder: string, pathname: string): void {
  const file = viewFile(folder, pathname);
  if (!file || !fs.statSync(file.path, { throwIfNoEntry: false })?.isFile()) {
    sendText(response, 404, 'There is no such page.');
    return;
  }
  response.writeHead(200, { ...PAGE_HEADERS, 'content-type': file.type });
  fs.createReadStream(file.path).pipe(response);
}

/** Answers a call; every refusal is an envelope that names the place and the cure. */
export async function answerCall(
  request: IncomingMessage,
  response: ServerResponse,
  services: ServiceHost,
  name: string,
): Promise<void> {
  if (request.headers['content-type']?.split(';')[0] !== 'application/json') {
    sendEnvelope(response, 415, badRequest('The call is not sent as JSON.'));
    return;
  }
  const announced = Number(request.headers['content-length'] ?? 0);
  const body = announced > MAX_BODY ? undefined : await readBody(request);
  if (body === undefined) {
    response.setHeader('connection', 'close');
    sendEnvelope(response, 413, badRequest(`The call is larger than ${MAX_BODY / 2 ** 20} MB.`));
    return;
  }
  const input = parseJson(body);
  if (input === undefined) {
    sendEnvelope(response, 400, badRequest('The call is not whole JSON.'));
    return;
  }
  const envelope = await services.handle(name, input.value);
  sendEnvelope(response, envelope.ok ? 200 : 400, envelope);
}

/** The body's text, or undefined as soon as it grows too large. */
async function readBody(request: IncomingMessage): Promise<string | undefined> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    size += chunk.length;
    if (size > MAX_BODY) return undefined;
    chunks.push(chunk);
  }
  return Buffer.concat(chunks).toString('utf8');
}

function parseJson(text: string): { readonly value: unknown } | undefined {
  try {
    return { value: JSON.parse(text) };
  } catch {
    return undefined;
  }
}

export const badRequest = (message: string): Envelope<never> => ({
  ok: false,
  problems: [{ code: 'bad-request', message, cure: 'Reload the page and try again.' }],
});

/** Passes every event of the services on until the page goes away. */
export function streamEvents(response: ServerResponse, services: ServiceHost): void {
  response.writeHead(200, { ...PAGE_HEADERS, 'content-type': 'text/event-stream' });
  response.write(': open\n\n');
  const stop = services.listen((event, detail) => {
    response.write(`event: ${event}\ndata: ${JSON.stringify(detail)}\n\n`);
  });
  const beat = setInterval(() => response.write(': still here\n\n'), KEEP_ALIVE_MS);
  beat.unref();
  response.on('close', () => {
    stop();
    clearInterval(beat);
  });
}
