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

/** A file of this machine: a task sheet or report by its name, or so many records for the player's other machines. */
export type SharedFile = {
  readonly number: number;
  readonly written: IsoTime;
  readonly file: string;
} & ({ readonly name: string } | { readonly records: number });

export interface SharedState {
  /** Absent where none was chosen: then nothing leaves this machine. */
  readonly folder?: string;
  /** The folder cannot be reached now. */
  readonly away?: true;
  readonly writers: readonly (WriterOnShelf & { readonly mine: boolean })[];
  readonly waiting: readonly WaitingParcel[];
  /** Every file of this machine there, oldest first. */
  readonly written: readonly SharedFile[];
  /** Files that could not be used, each with why. */
  readonly flawed?: readonly string[];
  /** Each student's folder in the shared one; absent where all share it. */
  readonly folders?: readonly { readonly student: string; readonly name: string }[];
  /** This machine is one of a player's. */
  readonly own?: { readonly code: string; readonly machine: string };
  /** The list that the player's reports go to by themselves. */
  readonly reportsTo?: string;
  /** Reports of known students wait to be looked at, too. */
  readonly looksFirst?: true;
}

export const folderChoice = z.strictObject({ folder: z.string().min(1).max(4_000).nullable() });
export const ofStudent = z.strictObject({ student: shortText });
