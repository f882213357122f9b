// The address of a folder on a server, as it was typed: read, and refused where a password would travel in the open.
import { isIP } from 'node:net';
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';

export interface ServerAddress {
  /** Whole, without a name, a password or anything after the path; no slash at its end. */
  readonly url: string;
  /** What travels there can be read on the way: it is only allowed at home. */
  readonly open: boolean;
}

/** `https` anywhere; `http` to this computer and to addresses of a home or school network alone. */
export function readAddress(typed: string): Result<ServerAddress> {
  const url = URL.parse(typed.trim());
  if (!url || !/^https?:$/.test(url.protocol) || url.hostname === '') return fail(notAnAddress);
  if (url.username !== '' || url.password !== '') return fail(nameInside);
  if (url.search !== '' || url.hash !== '') return fail(notAnAddress);
  const open = url.protocol === 'http:';
  if (open && !isAtHome(url.hostname)) return fail(notLocked(url.hostname));
  return ok({ url: `${url.origin}${url.pathname}`.replace(/\/+$/, ''), open });
}

/** RFC 1918, RFC 3927, RFC 4193 and RFC 4291 for numbers; RFC 6762, RFC 8375 and names without a dot else. */
function isAtHome(host: string): boolean {
  const bare = host.replace(/^\[|\]$/g, '');
  switch (isIP(bare)) {
    case 4:
      return /^(127\.|10\.|192\.168\.|169\.254\.|172\.(1[6-9]|2\d|3[01])\.)/.test(bare);
    case 6:
      return bare === '::1' || /^(f[cd]|fe[89ab])/i.test(bare);
    default:
      return !bare.includes('.') || /\.(local|home\.arpa|localhost)$/i.test(bare);
  }
}

const notAnAddress: Problem = {
  code: 'server-address',
  message: 'This is not the address of a folder on a server',
  cure: 'Copy the WebDAV address that your server shows; it begins with https:// and names a folder.',
};

const nameInside: Problem = {
  code: 'server-address',
  message: 'The address holds a name or a password',
  cure: 'Take them out of the address and write them into their own fields.',
};

const notLocked = (host: string): Problem => ({
  code: 'server-address',
  message: `With http:// everybody on the way to ${host} could read the password`,
  cure: 'Use the address that begins with https://.',
});
