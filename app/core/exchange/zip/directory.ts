// Reads the table of contents of a ZIP file, trusting none of its numbers (PKWARE APPNOTE 6.3, 4.3; from memory).
import { strFromU8 } from 'fflate';
import { type Result, fail, ok } from '../../base/result.ts';

/** One file inside, as the table at the end of the ZIP file describes it. */
export interface ZipEntry {
  readonly name: string;
  readonly encrypted: boolean;
  /** 0 is stored, 8 deflated. */
  readonly method: number;
  readonly crc: number;
  readonly packedSize: number;
  readonly size: number;
  /** Where its local header stands. */
  readonly at: number;
}

const END_MARK = 0x06054b50;
const ENTRY_MARK = 0x02014b50;
const [END_SIZE, ENTRY_SIZE, LONGEST_COMMENT] = [22, 46, 65_535];
/** In place of a number that only the larger ZIP64 form could hold. */
const ELSEWHERE = 0xffffffff;
/** A score with its pictures and parts has a few; a table of millions stops here. */
const MOST_ENTRIES = 1000;

/** ZIP files begin with the header of their first entry, or with the end mark of an empty one. */
export const looksZipped = (bytes: Uint8Array): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2]! < 9 && bytes[3]! < 9;

/** @param most Entries that are read; a file with more is refused. */
export function readDirectory(bytes: Uint8Array, most = MOST_ENTRIES): Result<readonly ZipEntry[]> {
  const view = viewOf(bytes);
  const end = findEnd(view);
  if (end === undefined) return damaged('it breaks off before its table of contents');
  const count = view.getUint16(end + 10, true);
  if (count > most) {
    const message = `the compressed file holds ${count} files; at most ${most} are looked at`;
    return fail({ code: 'zip-many', message, cure: 'Export the score again, on its own.' });
  }
  const entries: ZipEntry[] = [];
  const start = view.getUint32(end + 16, true);
  let at = start;
  for (let i = 0; i < count; i++) {
    if (at + ENTRY_SIZE > end || view.getUint32(at, true) !== ENTRY_MARK)
      return damaged(`entry ${i + 1} of its table of contents is not where it should be`);
    const entry = entryAt(view, at);
    if ([entry.at, entry.size, entry.packedSize].includes(ELSEWHERE))
      return damaged(`‘${entry.name}’ claims more than 4 GB`);
    entries.push(entry);
    at += ENTRY_SIZE + namesLength(view, at);
  }
  // Its count and its length are said apart: where they disagree, entries would be missed without a word.
  if (at - start !== view.getUint32(end + 12, true))
    return damaged('its table of contents is longer or shorter than it says');
  return ok(entries);
}

/** The same bytes, to be read as numbers. */
export const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

/** The refusal of a file that is not whole. @param why goes on behind "damaged:" */
export const damaged = (why: string): Result<never> =>
  fail({
    code: 'zip-damaged',
    message: `the compressed file is damaged: ${why}`,
    cure: 'Fetch or export it again, or take an earlier copy.',
  });

/** The end mark stands before a comment that may be empty, so it is looked for from behind. */
function findEnd(view: DataView): number | undefined {
  const last = view.byteLength - END_SIZE;
  for (let at = last; at >= Math.max(0, last - LONGEST_COMMENT); at--) {
    if (view.getUint32(at, true) === END_MARK) return at;
  }
  return undefined;
}

/** Name, extra field and comment follow the numbers of an entry. */
const namesLength = (view: DataView, at: number): number =>
  view.getUint16(at + 28, true) + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);

const entryAt = (view: DataView, at: number): ZipEntry => ({
  name: nameAt(view, at + ENTRY_SIZE, view.getUint16(at + 28, true)),
  encrypted: (view.getUint16(at + 8, true) & 1) === 1,
  method: view.getUint16(at + 10, true),
  crc: view.getUint32(at + 16, true),
  packedSize: view.getUint32(at + 20, true),
  size: view.getUint32(at + 24, true),
  at: view.getUint32(at + 42, true),
});

/** UTF-8, as scores have it; bytes that are none become the replacement sign. */
function nameAt(view: DataView, at: number, length: number): string {
  const end = Math.min(at + length, view.byteLength);
  return strFromU8(new Uint8Array(view.buffer, view.byteOffset + at, Math.max(0, end - at)));
}
