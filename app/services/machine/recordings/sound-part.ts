// A stretch of a sound, as it travels to the view.
import { PART_BYTES } from '../../../core/model/limits.ts';
import type { FilePart } from '../../contract/archives.ts';

/** Empty at its end. */
export const soundPart = (content: Uint8Array, from: number): FilePart => ({
  from,
  base64: Buffer.from(content.subarray(from, from + PART_BYTES)).toString('base64'),
});
