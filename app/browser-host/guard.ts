// Who may talk to the browser host: pages that came with a printed address, on this machine, from our own page.
import { randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';

export interface Guard {
  /** A fresh one-time secret for an address. */
  readonly newToken: () => string;
  /**
   * Spends a token: the bearer token of the tab that brought it, or undefined when it is wrong or another tab has spent
   * it. A tab whose answer was lost, by a reload say, may ask again.
   * @param tab The tab's own secret; who brings none cannot ask again.
   */
  readonly redeem: (token: string, tab?: string) => string | undefined;
  /** What another start of the program on the same data folder proves itself by. */
  readonly doorkey: string;
  /** Is the request meant for this host by name and address? (Names that resolve here are refused.) */
  readonly isForUs: (request: IncomingMessage) => boolean;
  /** Does it carry the bearer token? Kept by a page alone: cookies know no ports and would go to other servers. */
  readonly isKnown: (request: IncomingMessage) => boolean;
  /** Does it carry the doorkey, and come from no page at all? */
  readonly isAnotherStart: (request: IncomingMessage) => boolean;
  /** Does it come from our own page? Needed for everything but the files of the page. */
  readonly isFromOurPage: (request: IncomingMessage) => boolean;
}

/** @param port on which it listens, known once it does */
export function makeGuard(port: () => number): Guard {
  const session = secret();
  const doorkey = secret();
  /** Each with the secret of the tab that has spent it. */
  const tokens = new Map<string, string | undefined>();
  const origin = (): string => `http://127.0.0.1:${port()}`;
  return {
    doorkey,
    newToken: () => {
      const token = secret();
      tokens.set(token, undefined);
      return token;
    },
    redeem: (given, tab = secret()) => {
      const token = [...tokens.keys()].find((one) => same(one, given));
      if (token === undefined || !same(tokens.get(token) ?? tab, tab)) return undefined;
      tokens.set(token, tab);
      return session;
    },
    isForUs: ({ headers }) => headers.host === `127.0.0.1:${port()}`,
    isKnown: ({ headers }) => same(bearerOf(headers.authorization), session),
    isAnotherStart: ({ headers }) =>
      headers.origin === undefined &&
      headers['sec-fetch-site'] === undefined &&
      same(bearerOf(headers.authorization), doorkey),
    isFromOurPage: ({ headers, method }) =>
      headers['sec-fetch-site'] === undefined || headers['sec-fetch-site'] === 'same-origin'
        ? headers.origin === origin() || (method === 'GET' && headers.origin === undefined)
        : false,
  };
}

const secret = (): string => randomBytes(32).toString('base64url');

const bearerOf = (header: string | undefined): string =>
  /^Bearer (\S+)$/.exec(header ?? '')?.[1] ?? '';

/** Compares without telling by its time where two secrets differ. */
function same(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)];
  return left.length === right.length && timingSafeEqual(left, right);
}
