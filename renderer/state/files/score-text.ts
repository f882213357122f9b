// The text of a score's bytes, in whichever encoding it was written (XML 1.0, 4.3.3 and appendix F).
import { type Result, fail, ok } from '../../../app/core/base/result.ts';

/** Bytes by which the first characters of XML tell the encoding, with or without a mark. */
const SIGNS: readonly (readonly [encoding: string, bytes: readonly number[]])[] = [
  ['utf-8', [0xef, 0xbb, 0xbf]],
  ['utf-16le', [0xff, 0xfe]],
  ['utf-16be', [0xfe, 0xff]],
  ['utf-16le', [0x3c, 0x00]],
  ['utf-16be', [0x00, 0x3c]],
];

/** Fails only where the file names an encoding that nobody here knows. */
export function scoreText(bytes: Uint8Array): Result<string> {
  const sign = SIGNS.find(([, start]) => start.every((byte, i) => bytes[i] === byte));
  if (sign) return ok(new TextDecoder(sign[0]).decode(bytes));
  const named = declaredEncoding(bytes);
  if (named === undefined || /^utf-?8$/i.test(named)) return ok(utf8OrWestern(bytes));
  const decoder = decoderFor(named);
  if (decoder) return ok(decoder.decode(bytes));
  return fail({
    code: 'xml-encoding',
    message: `the file says that its text is “${named}”, which is not known here`,
    cure: 'Export it again as UTF-8.',
  });
}

/** The declaration is plain ASCII in every encoding that is left. */
function declaredEncoding(bytes: Uint8Array): string | undefined {
  const start = new TextDecoder('windows-1252').decode(bytes.subarray(0, 200));
  return /^\s*<\?xml[^>]*?\sencoding\s*=\s*["']([^"']{1,40})["']/.exec(start)?.[1];
}

function decoderFor(encoding: string): TextDecoder | undefined {
  try {
    return new TextDecoder(encoding);
  } catch {
    return undefined;
  }
}

/** Some programs write Western European bytes and say UTF-8, or nothing. */
function utf8OrWestern(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
