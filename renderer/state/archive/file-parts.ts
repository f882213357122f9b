// A file travels between page and machine in stretches, so that none of them is too large for the way.
import { PART_BYTES } from '../../../app/core/model/limits.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { Problem, Result } from '../../../app/core/base/result.ts';
import { fail, ok } from '../../../app/core/base/result.ts';
import type { Share } from '../../../app/core/base/units.ts';
import { fromBase64, toBase64 } from '../../page/base64.ts';

type Machine = Pick<Services, 'call'>;

/** The archive that was made last. @param bytes Its size. @param told Share that has arrived. */
export async function fetchArchive(
  { call }: Machine,
  bytes: number,
  told: (share: Share) => void,
): Promise<Result<Blob>> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  for (let from = 0; from < bytes;) {
    const part = await call('archives.part', { from });
    if (!part.ok) return part;
    const content = fromBase64(part.value.base64);
    if (content.length === 0) return fail(brokenOff);
    parts.push(content);
    from += content.length;
    told(from / bytes);
  }
  return ok(new Blob(parts, { type: 'application/zip' }));
}

/**
 * Sends an archive part by part; ends with the first that is refused. @param told hears the share that is done, 0–1
 */
export async function giveArchive(
  { call }: Machine,
  file: Blob,
  told: (share: Share) => void,
): Promise<Result<null>> {
  for (let from = 0; from === 0 || from < file.size; from += PART_BYTES) {
    const bytes = new Uint8Array(await file.slice(from, from + PART_BYTES).arrayBuffer());
    const given = await call('archives.give', { from, base64: toBase64(bytes) });
    if (!given.ok) return given;
    told(Math.min(1, (from + PART_BYTES) / file.size));
  }
  return ok(null);
}

const brokenOff: Problem = {
  code: 'archive-broken-off',
  message: 'The file broke off on its way.',
  cure: 'Save everything again.',
};
