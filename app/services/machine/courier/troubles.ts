// Whatever goes wrong between this computer and a server, in words with a cure, and whether waiting can help.
import path from 'node:path';
import type { Problem } from '../../../core/base/result.ts';
import { errorCode, inWords } from '../store/durable.ts';

/**
 * `again`: the same request may work in a moment. `later`: the whole server has to come back or be mended.
 * `full`: nothing more can be put there, but the rest works. `told`: only another setting helps.
 */
export type Remedy = 'again' | 'later' | 'full' | 'told';

export interface Trouble {
  readonly problem: Problem;
  readonly remedy: Remedy;
}

/** The server's answer is not what was asked for. */
export class NotWhole extends Error {}

/** @param place the server or folder, as people call it */
export function troubleOf(error: unknown, place: string): Trouble {
  const status = statusOf(error);
  if (status !== undefined) return byStatus(status, place);
  if (isTimeout(error)) return { remedy: 'later', problem: slow(place) };
  const code = errorCode(causeOf(error));
  if (AWAY.has(code)) return { remedy: 'later', problem: away(place) };
  if (CUT.has(code) || error instanceof NotWhole) return { remedy: 'again', problem: cut(place) };
  if (/^(ERR_TLS|ERR_SSL|CERT_|DEPTH_ZERO|SELF_SIGNED|UNABLE_TO|HOSTNAME_|EPROTO)/.test(code)) {
    return { remedy: 'later', problem: certificate(place, code) };
  }
  if (code === 'ENOSPC' || code === 'EDQUOT') return { remedy: 'full', problem: full(place) };
  return { remedy: 'later', problem: unknown(place, error) };
}

function byStatus(status: number, place: string): Trouble {
  switch (status) {
    case 401:
      return { remedy: 'told', problem: password(place) };
    case 403:
      return { remedy: 'later', problem: forbidden(place) };
    case 404:
    case 405:
    case 409:
    case 410:
    case 501:
      return { remedy: 'later', problem: notThere(place) };
    case 413:
    case 507:
      return { remedy: 'full', problem: full(place) };
    case 423:
      return { remedy: 'again', problem: locked(place) };
    default:
      return status === 429 || status >= 500
        ? { remedy: 'again', problem: busy(place, status) }
        : { remedy: 'later', problem: refused(place, status) };
  }
}

/** The HTTP status that an error of the library carries; undefined where it never came to an answer. */
export const statusOf = (error: unknown): number | undefined =>
  error instanceof Error && 'status' in error && typeof error.status === 'number'
    ? error.status
    : undefined;

const isTimeout = (error: unknown): boolean =>
  error instanceof Error && ['AbortError', 'TimeoutError'].includes(error.name);

/** What the network reports lies inside what the client throws. */
const causeOf = (error: unknown): unknown =>
  error instanceof Error && !('code' in error) && error.cause !== undefined ? error.cause : error;

const AWAY = new Set([
  ...['ENOTFOUND', 'EAI_AGAIN', 'ECONNREFUSED', 'EHOSTUNREACH', 'EHOSTDOWN', 'ENETUNREACH'],
  ...['ENETDOWN', 'ETIMEDOUT', 'EADDRNOTAVAIL', 'ENOENT', 'ENOTDIR'],
]);
const CUT = new Set([
  ...['ECONNRESET', 'ECONNABORTED', 'EPIPE', 'ERR_STREAM_PREMATURE_CLOSE', 'UND_ERR_SOCKET'],
  ...['EBUSY', 'EPERM'],
]);

const OFFLINE = 'Everything works as before, and what is here travels when it can.';

const away = (place: string): Problem => ({
  code: 'server-away',
  message: `${place} cannot be reached now`,
  cure: `${path.isAbsolute(place) ? 'Connect its drive or network.' : 'Look whether this computer is on the net.'} ${OFFLINE}`,
});
const slow = (place: string): Problem => ({
  code: 'server-slow',
  message: `${place} did not answer in time`,
  cure: `It is tried again by itself. ${OFFLINE}`,
});
const cut = (place: string): Problem => ({
  code: 'server-cut',
  message: `The connection to ${place} broke off`,
  cure: 'It is tried again by itself; a file that went half is sent again whole.',
});
const certificate = (place: string, code: string): Problem => ({
  code: 'server-certificate',
  message: `${place} cannot show that it is the right server (${code})`,
  cure: 'Write its name as its certificate has it, or ask whoever runs it to renew that. Nothing was sent.',
});
const password = (place: string): Problem => ({
  code: 'server-password',
  message: `${place} does not take this name and password`,
  cure: 'Write them again; some servers want an app password, made in their settings. It is not tried again by itself, so that nobody is locked out.',
});
const forbidden = (place: string): Problem => ({
  code: 'server-forbidden',
  message: `${place} does not let this name write or read there`,
  cure: 'Ask whoever runs the server to allow it, or choose another folder of it.',
});
const notThere = (place: string): Problem => ({
  code: 'server-not-there',
  message: `There is no folder of a WebDAV server at ${place}`,
  cure: 'Make the folder on the server first, and copy its WebDAV address from there.',
});
const full = (place: string): Problem => ({
  code: 'server-full',
  message: `There is no room left on ${place}`,
  cure: 'Make room there. What others wrote still arrives; yours waits here and goes when there is room.',
});
const locked = (place: string): Problem => ({
  code: 'server-locked',
  message: `Another program holds a file on ${place}`,
  cure: 'It is tried again by itself.',
});
const busy = (place: string, status: number): Problem => ({
  code: 'server-busy',
  message: `${place} has trouble of its own (${status})`,
  cure: 'It is tried again by itself; if it stays, tell whoever runs the server.',
});
const refused = (place: string, status: number): Problem => ({
  code: 'server-refused',
  message: `${place} refused (${status})`,
  cure: 'Look whether the address is that of a WebDAV folder.',
});
const unknown = (place: string, error: unknown): Problem => ({
  code: 'server-trouble',
  message: `Something went wrong with ${place}: ${inWords(error)}`,
  cure: `Look whether the address is right. ${OFFLINE}`,
});
