// What was taken in or put away is known again, also where it is posted in another file.
import { createHash } from 'node:crypto';
import type { Parcel } from '../../../core/exchange/shared/parcel.ts';
import type { ParcelOnShelf } from '../../../core/exchange/shared/shelf.ts';

/** By this a parcel is known that is posted again in another file. */
export const markOf = ({ text }: Parcel): string =>
  createHash('sha256').update(text).digest('base64url').slice(0, 24);

/** Was it neither taken in nor put away? @param taken marks and hashes of what was */
export const isNew = (taken: readonly string[]) => {
  const known = new Set(taken);
  return ({ id, parcel }: ParcelOnShelf): boolean =>
    !known.has(id) && (known.size === 0 || !known.has(markOf(parcel)));
};

/** What a parcel says of itself before it is opened. */
export const headOf = ({ id, segment, parcel }: ParcelOnShelf) => ({
  ...{ id, kind: parcel.kind, student: parcel.student, name: parcel.name },
  written: segment.written,
});
