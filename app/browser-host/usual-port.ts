// The port at which a data folder is served when none is asked for, the same at every start; and whether it is taken.
import { createHash } from 'node:crypto';

/** Ports that no service is registered for (RFC 6335, section 6). */
const FIRST = 49_152;
const COUNT = 16_384;

/**
 * 49152–65535, made of the folder's path. A browser keeps unsaved texts and the queue by address, port
 * included, so what a student left there is found again, and no other folder's is.
 */
export function usualPort(directory: string): number {
  const hash = createHash('sha256').update(directory).digest();
  return FIRST + (hash.readUInt32BE() % COUNT);
}

/** Does another program listen where a server was to? */
export const isTaken = (error: unknown): boolean =>
  error instanceof Error && 'code' in error && error.code === 'EADDRINUSE';
