// By what the machines of one player know each other: a short code that is shown on one and typed on the next.
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

/** Without letters and figures that are taken for one another. */
const LETTERS = 'ACDEFGHJKMNPQRTUVWXY34679';
const LENGTH = 8;

/** A new code, as "KMQT-7WXA". @param id a new one that nobody can guess */
export function codeOf(id: string): string {
  const text = [...sha256(utf8ToBytes(id))]
    .slice(0, LENGTH)
    .map((byte) => LETTERS[Math.floor((byte / 256) * LETTERS.length)])
    .join('');
  return `${text.slice(0, 4)}-${text.slice(4)}`;
}

/** As it may be typed: in small letters, without its hyphen, with spaces. Undefined where it is no code. */
export function readCode(typed: string): string | undefined {
  const text = typed.toUpperCase().replace(/[^A-Z0-9]/g, '');
  if (text.length !== LENGTH || [...text].some((letter) => !LETTERS.includes(letter))) return;
  return `${text.slice(0, 4)}-${text.slice(4)}`;
}

/**
 * What stands in the files of the shared folder, in hexadecimal. The code is not told by it at a glance; it keeps the
 * logs of players apart, and is no lock.
 */
export const personOf = (code: string): string =>
  bytesToHex(sha256(utf8ToBytes(`rungwise-player ${code}`))).slice(0, 32);
