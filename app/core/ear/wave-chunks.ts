// Finds the format and the sound among the chunks of a RIFF/WAVE file; says nothing about what they hold.
import { asciiText } from '../base/ascii.ts';
import type { SampleRate } from '../base/units.ts';

/** The numbers of the `fmt ` chunk. */
export interface WaveFormat {
  /** 1 PCM, 3 IEEE float; the extended format's tag is looked up where it hides. */
  readonly tag: number;
  readonly channels: number;
  readonly rate: SampleRate;
  /** Bytes of one sample of every channel. */
  readonly frameBytes: number;
  readonly bits: number;
}

export interface WaveChunks {
  readonly format: WaveFormat;
  /** The bytes of the `data` chunk that are there, not copied. */
  readonly sound: Uint8Array;
  /** How many bytes of sound the file announces. */
  readonly announced: number;
}

/** RF64 is WAVE for files above 4 GB (EBU Tech 3306, from memory); below that it reads alike. */
const CONTAINERS = ['RIFF', 'RF64'];
const HEAD_BYTES = 8;
const FORMAT_BYTES = 16;
const EXTENDED = 0xfffe;
/** Offset of the first bytes of the identifier that ends an extended `fmt ` chunk. */
const EXTENDED_TAG_AT = 24;
/** Stands where the recorder could not know the length, or where 32 bits cannot hold it. */
const UNKNOWN_SIZE = 0xffffffff;

/** `undefined` when it is no WAVE file, or lacks one of the two. */
export function waveChunks(bytes: Uint8Array): WaveChunks | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  if (!CONTAINERS.includes(nameAt(bytes, 0)) || nameAt(bytes, 8) !== 'WAVE') return undefined;
  let format: WaveFormat | undefined;
  for (let at = 12; at + HEAD_BYTES <= bytes.length;) {
    const size = view.getUint32(at + 4, true);
    const body = bytes.subarray(at + HEAD_BYTES, at + HEAD_BYTES + size);
    const name = nameAt(bytes, at);
    if (name === 'fmt ') format = formatIn(body);
    // The sound is the last chunk that matters, and its size the one that may not be true.
    if (name === 'data') {
      const announced = size === UNKNOWN_SIZE ? body.length : size;
      return format && { format, sound: body, announced };
    }
    // A chunk of odd size is followed by one byte of padding.
    at += HEAD_BYTES + size + (size % 2);
  }
  return undefined;
}

function formatIn(body: Uint8Array): WaveFormat | undefined {
  if (body.length < FORMAT_BYTES) return undefined;
  const view = new DataView(body.buffer, body.byteOffset, body.length);
  const tag = view.getUint16(0, true);
  const hides = tag === EXTENDED && body.length >= EXTENDED_TAG_AT + 2;
  return {
    tag: hides ? view.getUint16(EXTENDED_TAG_AT, true) : tag,
    channels: view.getUint16(2, true),
    rate: view.getUint32(4, true),
    frameBytes: view.getUint16(12, true),
    bits: view.getUint16(14, true),
  };
}

const nameAt = (bytes: Uint8Array, at: number): string => asciiText(bytes.subarray(at, at + 4));
