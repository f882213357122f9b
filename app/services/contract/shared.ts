// What may be asked of the shared folder: task sheets and reports that travel without mail.
import { z } from 'zod';
import type { Parcel } from '../../core/exchange/shared/segment.ts';
import type { WriterOnShelf } from '../../core/exchange/shared/shelf.ts';
import type { IsoTime } from '../../core/base/units.ts';
import { shortText } from './schemas.ts';

export { parcelSchema } from '../../core/exchange/shared/segment.ts';

/** A task sheet or report that somebody else wrote, and that was not taken in yet. */
export interface WaitingParcel extends Omit<Parcel, 'text'> {
  readonly id: string;
  /** By the other machine's clock. */
  readonly written: IsoTime;
}

export interface SharedState {
  /** Absent where none was chosen: then nothing leaves this machine. */
  readonly folder?: string;
  /** The folder cannot be reached now. */
  readonly away?: true;
  readonly writers: readonly (WriterOnShelf & { readonly mine: boolean })[];
  readonly waiting: readonly WaitingParcel[];
  /** Every file of this machine there, oldest first. */
  readonly written: readonly {
    readonly number: number;
    readonly written: IsoTime;
    readonly name: string;
    readonly file: string;
  }[];
  /** Files that could not be used, each with why. */
  readonly flawed?: readonly string[];
}

export const folderChoice = z.strictObject({ folder: z.string().min(1).max(4_000).nullable() });
export const ofStudent = z.strictObject({ student: shortText });
