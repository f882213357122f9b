// A scheme of the program's own, seen by Chromium as a host of a server on 127.0.0.1, and back.
import { engine } from './record.ts';

/** `rungwise://trainer/x` → `http://trainer.rungwise.standin/x`; other addresses stay. */
export function outer(url: string): string {
  const [, scheme, host, rest] = /^([a-z][a-z0-9+.-]*):\/\/([^/?#]*)(.*)$/.exec(url) ?? [];
  return scheme && engine.schemes.has(scheme) ? `http://${host}.${scheme}.standin${rest}` : url;
}

export function inner(url: string): string {
  const [, host, scheme, rest] =
    /^https?:\/\/([^/?#]+)\.([a-z][a-z0-9+-]*)\.standin(?::\d+)?(.*)$/.exec(url) ?? [];
  return scheme && engine.schemes.has(scheme) ? `${scheme}://${host}${rest}` : url;
}
