// The text of a file's bytes, in whichever encoding it was written (XML 1.0, 4.3.3 and appendix F).
import { asciiText } from '../../base/ascii.ts';
import { type Result, fail, ok } from '../../base/result.ts';

/**
 * The class `TextDecoder` of the WHATWG Encoding Standard, which pages and Node have alike. Callers hand theirs in.
 */
export type Decoder = new (
  encoding?: string,
  options?: { readonly fatal?: boolean },
) => { decode: (bytes: Uint8Array) => string };

/** Marks by which a text says how it is encoded; else a zero in its first two bytes tells the halves of UTF-16. */
const SIGNS: readonly (readonly [encoding: string, bytes: readonly (number | undefined)[]])[] = [
  ['utf-8', [0xef, 0xbb, 0xbf]],
  ['utf-16le', [0xff, 0xfe]],
  ['utf-16be', [0xfe, 0xff]],
  ['utf-16le', [undefined, 0x00]],
  ['utf-16be', [0x00, undefined]],
];

/** Without its mark of encoding. Fails only where the file names an encoding that nobody here knows. */
export function textOf(bytes: Uint8Array, Decoder: Decoder): Result<string> {
  const sign = SIGNS.find(([, start]) => start.every((b, i) => b === undefined || bytes[i] === b));
  if (sign) return ok(new Decoder(sign[0]).decode(bytes));
  const named = declaredEncoding(bytes);
  if (named === undefined || /^utf-?8$/i.test(named)) return ok(utf8OrWestern(bytes, Decoder));
  const decoder = decoderFor(named, Decoder);
  if (decoder) return ok(decoder.decode(bytes));
  return fail({
    code: 'xml-encoding',
    message: `the file says that its text is “${named}”, which is not known here`,
    cure: 'Export it again as UTF-8.',
  });
}

/** The declaration is plain ASCII in every encoding that is left. */
function declaredEncoding(bytes: Uint8Array): string | undefined {
  const start = asciiText(bytes.subarray(0, 200));
  return /^\s*<\?xml[^>]*?\sencoding\s*=\s*["']([^"']{1,40})["']/.exec(start)?.[1];
}

function decoderFor(encoding: string, Decoder: Decoder): InstanceType<Decoder> | undefined {
  try {
    return new Decoder(encoding);
  } catch {
    return undefined;
  }
}

/** Some programs write Western European bytes and say UTF-8, or nothing. */
function utf8OrWestern(bytes: Uint8Array, Decoder: Decoder): string {
  try {
    return new Decoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new Decoder('windows-1252').decode(bytes);
  }
}
