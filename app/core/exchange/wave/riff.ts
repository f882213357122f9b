// The 44 bytes that open a WAVE file: RIFF, little-endian, PCM tag 1 with a 16-byte `fmt ` chunk.
import type { SampleRate, Samples } from '../../base/units.ts';

const HEADER_BYTES = 44;
/** One channel of 16-bit samples. */
const FRAME_BYTES = 2;
/** RIFF counts bytes in 32 bits. */
const MAX_FRAMES: Samples = Math.floor((2 ** 32 - 1 - (HEADER_BYTES - 8)) / FRAME_BYTES);

/** @throws RangeError when there are more frames than a WAVE file can count. */
export function wavHeader(frames: Samples, sampleRate: SampleRate): Uint8Array<ArrayBuffer> {
  if (!(frames >= 0 && frames <= MAX_FRAMES)) {
    throw new RangeError(`wavHeader: ${frames} frames; a WAVE file holds 0 to ${MAX_FRAMES}`);
  }
  const bytes = new Uint8Array(HEADER_BYTES);
  const view = new DataView(bytes.buffer);
  const data = frames * FRAME_BYTES;
  text(bytes, 0, 'RIFF');
  view.setUint32(4, HEADER_BYTES - 8 + data, true);
  text(bytes, 8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, sampleRate, true);
  view.setUint32(28, sampleRate * FRAME_BYTES, true);
  view.setUint16(32, FRAME_BYTES, true);
  view.setUint16(34, 8 * FRAME_BYTES, true);
  text(bytes, 36, 'data');
  view.setUint32(40, data, true);
  return bytes;
}

function text(bytes: Uint8Array, at: number, letters: string) {
  for (let i = 0; i < letters.length; i++) bytes[at + i] = letters.charCodeAt(i);
}

/** Samples (−1…1) as 16-bit little-endian; what lies outside is held at the ends. */
export function toPcm16(samples: Float32Array): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(samples.length * FRAME_BYTES);
  const view = new DataView(bytes.buffer);
  // A plain loop: this runs for every sample of a file.
  for (let i = 0; i < samples.length; i++) {
    const held = Math.max(-1, Math.min(1, samples[i]!));
    view.setInt16(i * FRAME_BYTES, Math.round(held * 32_767), true);
  }
  return bytes;
}

/** Bytes of the whole file. */
export const wavSize = (frames: Samples): number => HEADER_BYTES + frames * FRAME_BYTES;
