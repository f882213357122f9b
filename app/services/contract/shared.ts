// What may be asked of the shared folder: task sheets and reports that travel without mail.
import { z } from 'zod';
import type { Parcel } from '../../core/exchange/shared/parcel.ts';
import type { WriterOnShelf } from '../../core/exchange/shared/shelf.ts';
import type { IsoTime } from '../../core/base/units.ts';
import { MAX_FIELD } from '../../core/base/fields.ts';
import type { Problem } from '../../core/base/result.ts';
import { shortText } from './schemas.ts';

export { parcelSchema } from '../../core/exchange/shared/parcel.ts';

/** By the hash of its file: no longer than what is kept of those that were taken in. */
export const MAX_HASH = 100;
export const byHash = z.strictObject({ id: z.string().max(MAX_HASH) });

/** A task sheet or report that somebody else wrote, and that was not taken in yet. */
export interface WaitingParcel extends Omit<Parcel, 'text'> {
  readonly id: string;
  /** By the other machine's clock. */
  readonly written: IsoTime;
  /** A sheet of somebody who has written none for the player of this machine yet. */
  readonly newTeacher?: true;
}

/** Where what was posted is: in the shared folder or in the copy that is carried there, or kept here until it can be put there. */
export type Posted = 'there' | 'waits';

/** A task sheet or report that waits on this machine until its folder can be written. */
export interface LeavingParcel extends Pick<Parcel, 'kind' | 'student' | 'name'> {
  readonly id: string;
  /** The folder that was chosen when it was written: it goes into no other. */
  readonly folder: string;
  readonly since: IsoTime;
}

/** A file of this machine: a task sheet or report by its name, or so many records for the player's other machines. */
export type SharedFile = {
  readonly number: number;
  readonly written: IsoTime;
  readonly file: string;
} & ({ readonly name: string } | { readonly records: number });

/** One of a player's machines, as far as its files have arrived. */
export interface OwnMachine {
  /** As the player calls it. */
  readonly machine: string;
  /** Passes, words on them, bars and values. */
  readonly records: number;
  /** When it wrote last, by its own clock. */
  readonly written: IsoTime;
  readonly mine: boolean;
}

export interface OwnState {
  /** To be typed on the next machine. */
  readonly code: string;
  /** How this one is called. */
  readonly machine: string;
  readonly machines: readonly OwnMachine[];
}

/** Whose files they are, as far as what has arrived of the same machine tells. */
export type WhoseFiles =
  | { readonly kind: 'own'; readonly machine: string }
  | { readonly kind: 'student'; readonly student: string }
  | { readonly kind: 'teacher'; readonly teacher: string }
  | { readonly kind: 'unknown' };

/** Files of one machine that are waited for. */
export interface MissingFiles {
  readonly whose: WhoseFiles;
  readonly numbers: readonly number[];
  /** When the first of them was looked for in vain, by this machine's clock; absent before the first look. */
  readonly since?: IsoTime;
  /** When the files before and after them were written, by the clock of the machine that wrote them. */
  readonly after?: IsoTime;
  readonly before?: IsoTime;
}

/** What came to this machine from the player's other ones, and from students. */
export interface Travelled {
  readonly passes: number;
  /** Values that changed here, by kind and name. */
  readonly values: readonly string[];
  /** Charts that two machines had changed: both versions were kept, each a chart of its own. */
  readonly both: readonly string[];
  readonly reports: readonly TakenReport[];
  /** Students who were taken off the list on another machine. */
  readonly takenOff: readonly { readonly student: string; readonly name: string }[];
  /** Those on the list here who were removed for good on another machine. */
  readonly forGood: readonly { readonly student: string; readonly name: string }[];
}

export const NOTHING_TRAVELLED: Travelled = {
  ...{ passes: 0, values: [], both: [] },
  ...{ reports: [], takenOff: [], forGood: [] },
};

export interface TakenReport {
  readonly student: string;
  readonly name: string;
  readonly newPasses: number;
  readonly newQuestions: number;
}

export interface SharedState {
  /** Absent where none was chosen: then nothing leaves this machine. */
  readonly folder?: string;
  /** The folder cannot be reached now, and why. */
  readonly away?: Problem;
  readonly writers: readonly (WriterOnShelf & { readonly mine: boolean })[];
  readonly waiting: readonly WaitingParcel[];
  /** Every file of this machine there, oldest first. */
  readonly written: readonly SharedFile[];
  /** Files of others that have not arrived. */
  readonly missing?: readonly MissingFiles[];
  /** What waits here to go into the folder, oldest first. */
  readonly leaving?: readonly LeavingParcel[];
  /** Why it waits. */
  readonly leavingWhy?: Problem;
  /** Files that could not be used, each with why. */
  readonly flawed?: readonly string[];
  /** Each student's folder in the shared one; absent where all share it. */
  readonly folders?: readonly { readonly student: string; readonly name: string }[];
  /** This machine is one of a player's. */
  readonly own?: OwnState;
  /** The list that the player's reports go to by themselves. */
  readonly reportsTo?: string;
  /** Reports of known students wait to be looked at, too. */
  readonly looksFirst?: true;
  /** Present where this program itself carries what is shared: to a server, or locked into the folder. */
  readonly carrier?: SharedCarrier;
}

export interface SharedCarrier {
  /** Absent where it is a folder. */
  readonly server?: {
    readonly url: string;
    readonly user: string;
    /** What travels can be read on the way: only at home. */
    readonly open: boolean;
  };
  /** A passphrase is known and used. */
  readonly locked: boolean;
  readonly working: boolean;
  /** When both sides last agreed. */
  readonly agreedAt?: IsoTime;
  /** Files of this computer that are not there yet. */
  readonly unsent: number;
  /** Files of others that everybody can read though the folder is locked. */
  readonly open: number;
  /** Files there that could not be used, each with why. */
  readonly flawed: readonly string[];
  /** Why part of what is there is left alone: it is locked, and no passphrase opens it. */
  readonly closed?: Problem;
  readonly trouble?: Problem;
  /** It is tried again by itself. */
  readonly triesAgain: boolean;
}

export const serverChoice = z.strictObject({
  url: z.string().min(1).max(2_000),
  /** '' for a server that asks for none. */
  user: z.string().max(MAX_FIELD),
  /** The one that is kept, if left out. */
  password: z.string().max(MAX_FIELD).optional(),
});
export type ServerChoice = z.infer<typeof serverChoice>;
export const passphraseChoice = z.strictObject({ passphrase: z.string().min(1).max(MAX_FIELD) });

const machineName = z.string().trim().min(1).max(60);
/** Makes this the first of a player's machines, joins it to others by their code, or lets it go on alone. */
export const ownChoice = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('begin'), machine: machineName }),
  z.strictObject({ kind: z.literal('join'), machine: machineName, code: z.string().max(40) }),
  /** @param empty also takes out what it wrote for the others */
  z.strictObject({ kind: z.literal('leave'), empty: z.boolean() }),
]);
export type OwnChoice = z.infer<typeof ownChoice>;
export const codeTyped = z.strictObject({ code: z.string().max(40) });
/** @param to one of the lists that the player stands in; null: reports go by hand only */
export const reportsChoice = z.strictObject({ to: shortText.nullable() });
export const looksFirst = z.strictObject({ on: z.boolean() });

/** @param takeOut takes away what this computer wrote there first */
export const stopChoice = z.strictObject({ takeOut: z.boolean() });
export const folderChoice = z.strictObject({ folder: z.string().min(1).max(4_000).nullable() });
export const ofStudent = z.strictObject({ student: shortText });
