// How the browser host answers: pages and files of the view, envelopes of calls, the stream of events.
import fs from 'node:fs';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { headersOf, PAGE_HEADERS } from '../services/machine/content-policy.ts';
import type { Envelope } from '../services/contract/contract.ts';
import type { ServiceHost } from '../services/machine/host.ts';
import { viewFile } from '../services/machine/view-files.ts';

/** Largest body of a call, in bytes: an imported file with every character escaped. */
const MAX_BODY = 32 * 1024 * 1024;
/** An idle stream is kept open by a comment this often. */
const KEEP_ALIVE_MS = 20_000;

/** Ends the answer with one line of plain text. */
export function sendText(response: ServerResponse, status: number, text: string): void {
  response.writeHead(status, { ...PAGE_HEADERS, 'content-type': 'text/plain; charset=utf-8' });
  response.end(`${text}\n`);
}

/** Ends the answer with a value as JSON. */
export function sendJson(response: ServerResponse, status: number, value: unknown): void {
  response.writeHead(status, { ...PAGE_HEADERS, 'content-type': 'application/json' });
  response.end(JSON.stringify(value));
}

/** Ends the answer with what a call has come to. */
export function sendEnvelope(
  response: ServerResponse,
  status: number,
  envelope: Envelope<unknown>,
): void {
  sendJson(response, status, envelope);
}

/**
 * Ends the answer with a file of the built view, or with 404. @param folder of the view. @param pathname as asked for
 */
export function sendViewFile(response: ServerResponse, folder: string, pathname: string): void {
  const file = viewFile(folder, pathname);
  if (!file || !fs.statSync(file.path, { throwIfNoEntry: false })?.isFile()) {
    sendText(response, 404, 'There is no such page.');
    return;
  }
  response.writeHead(200, headersOf(file));
  // A file that goes away while it is read ends this answer, never the program.
  const stream = fs.createReadStream(file.path);
  stream.on('error', () => response.destroy());
  stream.pipe(response);
}

/** Answers a call; every refusal is an envelope that names the place and the cure. */
export async function answerCall(
  request: IncomingMessage,
  response: ServerResponse,
  services: ServiceHost,
  name: string,
): Promise<void> {
  const input = await readInput(request, response);
  if (!input) return;
  const envelope = await services.handle(name, input.value);
  sendEnvelope(response, envelope.ok ? 200 : 400, envelope);
}

/** What was sent as JSON; undefined where it was refused, which is then said. */
export async function readInput(
  request: IncomingMessage,
  response: ServerResponse,
): Promise<{ readonly value: unknown } | undefined> {
  const refuse = (status: number, why: string): undefined =>
    void sendEnvelope(response, status, badRequest(why));
  if (request.headers['content-type']?.split(';')[0] !== 'application/json')
    return refuse(415, 'The call is not sent as JSON.');
  const announced = Number(request.headers['content-length'] ?? 0);
  const body = announced > MAX_BODY ? undefined : await readBody(request);
  if (body === undefined) {
    response.setHeader('connection', 'close');
    return refuse(413, `The call is larger than ${MAX_BODY / 2 ** 20} MB.`);
  }
  return parseJson(body) ?? refuse(400, 'The call is not whole JSON.');
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

/** The refusal of a request that the page would never make. */
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
  response.on('error', () => response.destroy());
  response.on('close', () => {
    stop();
    clearInterval(beat);
  });
}
