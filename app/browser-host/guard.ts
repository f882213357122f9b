// Who may talk to the browser host: the one browser that came with the printed address, on this machine, from our page.
import { randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';

export interface Guard {
  /** The one-time secret of the printed address. */
  readonly token: string;
  /** Is the request meant for this host by name and address? (Names that resolve here are refused.) */
  readonly isForUs: (request: IncomingMessage) => boolean;
  /** Does it carry the cookie? */
  readonly isKnown: (request: IncomingMessage) => boolean;
  /** Does it come from our own page? Needed for everything but opening the page itself. */
  readonly isFromOurPage: (request: IncomingMessage) => boolean;
  /** Spends the token: the cookie to set, or undefined when it is wrong or spent. */
  readonly redeem: (token: string) => string | undefined;
}

export function makeGuard(port: () => number): Guard {
  const token = secret();
  const session = secret();
  let spent = false;
  // Cookies do not know ports: the name keeps two data directories served side by side apart.
  const cookieName = (): string => `rungwise-${port()}`;
  const origin = (): string => `http://127.0.0.1:${port()}`;
  return {
    token,
    isForUs: ({ headers }) => headers.host === `127.0.0.1:${port()}`,
    isKnown: ({ headers }) => same(cookieOf(headers.cookie, cookieName()), session),
    isFromOurPage: ({ headers, method }) =>
      headers['sec-fetch-site'] === undefined || headers['sec-fetch-site'] === 'same-origin'
        ? headers.origin === origin() || (method === 'GET' && headers.origin === undefined)
        : false,
    redeem: (given) => {
      if (spent || !same(given, token)) return undefined;
      spent = true;
      return `${cookieName()}=${session}; HttpOnly; SameSite=Strict; Path=/`;
    },
  };
}

const secret = (): string => randomBytes(32).toString('base64url');

function cookieOf(header: string | undefined, name: string): string {
  for (const pair of (header ?? '').split(';')) {
    const [key, value] = pair.trim().split('=', 2);
    if (key === name) return value ?? '';
  }
  return '';
}

/** Compares without telling by its time where two secrets differ. */
function same(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)];
  return left.length === right.length && timingSafeEqual(left, right);
}
