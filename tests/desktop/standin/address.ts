// A scheme of the program's own, seen by Chromium as a host of a server on 127.0.0.1, and back.
import { engine } from './record.ts';

/** What Chromium takes for secure without a certificate, and what it does not. */
const [SECURE, OPEN] = ['standin.localhost', 'standin'];

/** The rules of Chromium's resolver: both kinds of hosts are the server on this port, others are nowhere. */
export const resolverRules = (port: number): string =>
  [
    ...[SECURE, OPEN].map((domain) => `MAP *.${domain} 127.0.0.1:${port}`),
    'MAP * ~NOTFOUND',
  ].join();

/** `rungwise://trainer/x` → `http://trainer.rungwise.standin.localhost/x`; other addresses stay. */
export function outer(url: string): string {
  const [, name = '', host, rest] = /^([a-z][a-z0-9+.-]*):\/\/([^/?#]*)(.*)$/.exec(url) ?? [];
  const scheme = engine.schemes.get(name);
  return scheme ? `http://${host}.${name}.${scheme.secure ? SECURE : OPEN}${rest}` : url;
}

export function inner(url: string): string {
  const [, host, scheme, rest] =
    /^https?:\/\/([^/?#]+)\.([a-z][a-z0-9+-]*)\.standin(?:\.localhost)?(?::\d+)?(.*)$/.exec(url) ??
    [];
  return scheme && engine.schemes.has(scheme) ? `${scheme}://${host}${rest}` : url;
}
