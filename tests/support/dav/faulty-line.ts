// A line to a WebDAV server that fails on demand: refuses, cuts off on the way there or back, loses answers, hangs.
import http from 'node:http';
import type { AddressInfo } from 'node:net';

export type Fault =
  /** The server seems to answer this; it was never asked. */
  | { readonly kind: 'status'; readonly status: number }
  /** This many bytes go there, then the line breaks. */
  | { readonly kind: 'cut-there'; readonly bytes: number }
  /** This many bytes come back, then the line breaks. */
  | { readonly kind: 'cut-back'; readonly bytes: number }
  /** The server does what was asked, and its answer is lost. */
  | { readonly kind: 'lost-answer' }
  /** No answer, ever. */
  | { readonly kind: 'silence' };

export interface Asked {
  readonly method: string;
  readonly path: string;
}

export interface FaultyLine {
  readonly url: string;
  /** Everything that was asked, in order. */
  readonly asked: Asked[];
  /** What happens to the next requests; undefined lets one through. */
  fault: (asked: Asked) => Fault | undefined;
  readonly close: () => Promise<void>;
}

/** @param port of the server on 127.0.0.1 */
export async function startFaultyLine(port: number, folder = '/lessons'): Promise<FaultyLine> {
  const server = http.createServer((request, response) => {
    const asked = { method: request.method!, path: decodeURIComponent(request.url!) };
    line.asked.push(asked);
    pass(request, response, port, line.fault(asked));
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const own = (server.address() as AddressInfo).port;
  const line: FaultyLine = {
    url: `http://127.0.0.1:${own}${folder}`,
    asked: [],
    fault: () => undefined,
    close: () => {
      server.closeAllConnections();
      return new Promise((done) => server.close(() => done()));
    },
  };
  return line;
}

function pass(
  request: http.IncomingMessage,
  response: http.ServerResponse,
  port: number,
  fault: Fault | undefined,
): void {
  if (fault?.kind === 'silence') return;
  if (fault?.kind === 'status') {
    request.resume();
    request.once('end', () => response.writeHead(fault.status).end());
    return;
  }
  const headers: http.OutgoingHttpHeaders = { ...request.headers, host: `127.0.0.1:${port}` };
  const { destination } = headers;
  if (typeof destination === 'string') {
    headers['destination'] = `http://127.0.0.1:${port}${new URL(destination).pathname}`;
  }
  const { method, url } = request;
  const onward = http.request({ ...{ host: '127.0.0.1', port, method, path: url, headers } });
  onward.on('error', () => response.destroy());
  onward.on('response', (answer) => back(answer, response, fault));
  if (fault?.kind === 'cut-there') return cut(request, onward, response, fault.bytes);
  request.pipe(onward);
}

function cut(
  request: http.IncomingMessage,
  onward: http.ClientRequest,
  response: http.ServerResponse,
  bytes: number,
): void {
  request.once('data', (chunk: Buffer) => {
    onward.write(chunk.subarray(0, bytes), () => {
      onward.destroy();
      response.destroy();
    });
  });
}

function back(
  answer: http.IncomingMessage,
  response: http.ServerResponse,
  fault: Fault | undefined,
): void {
  if (fault?.kind === 'lost-answer') {
    answer.resume();
    answer.once('end', () => response.destroy());
    return;
  }
  response.writeHead(answer.statusCode!, answer.headers);
  if (fault?.kind !== 'cut-back') return void answer.pipe(response);
  answer.once('data', (chunk: Buffer) =>
    response.write(chunk.subarray(0, fault.bytes), () => response.destroy()),
  );
}
