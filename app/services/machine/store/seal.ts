// A check sum inside a JSON file, so that a changed bit is noticed although the text can still be read.
import { crc32 } from 'node:zlib';

const FIELD = 'checkSum';

export type Content = Readonly<Record<string, unknown>>;

/** JSON of the content with its sum as one more field. */
export const sealed = (content: Content): string =>
  JSON.stringify({ ...content, [FIELD]: sumOf(content) });

export interface Unsealed {
  readonly content: Content;
  /** Is it what was written? Undefined where no sum stands in it: an earlier form had none. */
  readonly whole: boolean | undefined;
}

/** @param raw What was read of such a file. */
export function unsealed(raw: Content): Unsealed {
  const { [FIELD]: sum, ...content } = raw;
  return { content, whole: sum === undefined ? undefined : sum === sumOf(content) };
}

/** Of the text that JSON makes of it: reading and writing keep the order of fields. */
const sumOf = (content: Content): string =>
  crc32(JSON.stringify(content)).toString(16).padStart(8, '0');
