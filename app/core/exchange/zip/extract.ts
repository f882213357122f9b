// Takes one file out of a ZIP file: never more than a limit, whatever its numbers claim, and checked against its sum.
import { Inflate, inflateSync } from 'fflate';
import { type Result, fail, ok } from '../../base/result.ts';
import { crc32 } from './crc32.ts';
import { type ZipEntry, damaged, viewOf } from './directory.ts';

const LOCAL_MARK = 0x04034b50;
const LOCAL_SIZE = 30;
const [STORED, DEFLATED] = [0, 8];
/** How many packed bytes are opened between looks at the size: at most 16 MB come of them (DEFLATE's 1,032 to 1). */
const SLICE = 16_384;

/** Fails for encrypted, oversize and damaged entries, and for ways of packing other than the standard's two. */
export function extract(
  bytes: Uint8Array,
  entry: ZipEntry,
  most: number,
): Result<Uint8Array<ArrayBuffer>> {
  if (entry.encrypted) {
    const message = `‘${entry.name}’ inside the compressed file is encrypted`;
    return fail({ code: 'zip-encrypted', message, cure: 'Export it again without a password.' });
  }
  if (entry.size > most) return tooLarge(entry, most);
  const packed = packedBytes(bytes, entry);
  if (!packed) return damaged(`‘${entry.name}’ is not where its table of contents says`);
  const content = unpack(packed, entry, most);
  if (!content.ok) return content;
  const whole = content.value.length === entry.size && crc32(content.value) === entry.crc;
  return whole ? content : damaged(`‘${entry.name}’ is not what was packed`);
}

const tooLarge = ({ name }: ZipEntry, most: number): Result<never> =>
  fail({
    code: 'zip-large',
    message: `‘${name}’ inside the compressed file is larger than ${most / 1e6} MB, the most that is opened`,
    cure: 'Choose a shorter score.',
  });

/** The local header repeats the name and may have an extra field of its own; the sizes of the table hold. */
function packedBytes(bytes: Uint8Array, { at, packedSize }: ZipEntry): Uint8Array | undefined {
  const view = viewOf(bytes);
  if (at + LOCAL_SIZE > bytes.length || view.getUint32(at, true) !== LOCAL_MARK) return undefined;
  const names = view.getUint16(at + 26, true) + view.getUint16(at + 28, true);
  const from = at + LOCAL_SIZE + names;
  return from + packedSize <= bytes.length ? bytes.subarray(from, from + packedSize) : undefined;
}

function unpack(
  packed: Uint8Array,
  entry: ZipEntry,
  most: number,
): Result<Uint8Array<ArrayBuffer>> {
  switch (entry.method) {
    case STORED:
      return packed.length > most ? tooLarge(entry, most) : ok(Uint8Array.from(packed));
    case DEFLATED:
      return inflate(packed, entry, most);
    default: {
      const message = `‘${entry.name}’ inside the compressed file is packed in a way that scores are not (method ${entry.method})`;
      const cure = 'Export it again as compressed MusicXML.';
      return fail({ code: 'zip-method', message, cure });
    }
  }
}

/** Piece by piece, so that a small entry that grows without end stops at the limit; what is one piece, at once. */
const inflate = (
  packed: Uint8Array,
  entry: ZipEntry,
  most: number,
): Result<Uint8Array<ArrayBuffer>> =>
  packed.length <= SLICE ? inflateAtOnce(packed, entry) : inflatePieces(packed, entry, most);

/** Into the room that it claims, and one byte more, which tells of an entry that holds more. */
function inflateAtOnce(packed: Uint8Array, entry: ZipEntry): Result<Uint8Array<ArrayBuffer>> {
  try {
    return ok(inflateSync(packed, { out: new Uint8Array(entry.size + 1) }));
  } catch {
    return damaged(`‘${entry.name}’ cannot be unpacked`);
  }
}

function inflatePieces(
  packed: Uint8Array,
  entry: ZipEntry,
  most: number,
): Result<Uint8Array<ArrayBuffer>> {
  const pieces: Uint8Array[] = [];
  let size = 0;
  const stream = new Inflate((piece) => {
    size += piece.length;
    if (size <= most) pieces.push(piece);
  });
  try {
    for (let at = 0; at < packed.length && size <= most; at += SLICE) {
      stream.push(packed.subarray(at, at + SLICE), at + SLICE >= packed.length);
    }
  } catch {
    return damaged(`‘${entry.name}’ cannot be unpacked`);
  }
  return size > most ? tooLarge(entry, most) : ok(joined(pieces, size));
}

function joined(pieces: readonly Uint8Array[], size: number): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(size);
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}
