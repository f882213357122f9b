// The one address the window shows, and the test of whether something comes from it.

export const SCHEME = 'rungwise';
const HOST = 'trainer';
const ORIGIN = `${SCHEME}://${HOST}`;
export const START_PAGE = `${ORIGIN}/index.html`;

/** Exact scheme and host; a port or credentials are refused. URL.origin is 'null' for schemes of our own. */
export function isOurs(address: string): boolean {
  const url = URL.parse(address);
  return url !== null && url.protocol === `${SCHEME}:` && url.host === HOST && url.username === '';
}
