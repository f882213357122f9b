// What this machine posted into the shared folder: the newest sheet and report of each student whole, of others only
// which file they were. It is to be found nowhere else once the file of it is gone.
import type { DatabaseSync } from 'node:sqlite';
import { z } from 'zod';
import { checked } from '../../../../core/base/checked.ts';
import {
  type Parcel,
  PARCEL_KINDS,
  parcelSchema,
} from '../../../../core/exchange/shared/parcel.ts';
import type { FileOf, Posting } from '../../shared/own-files.ts';
import { attempt } from '../../store/durable.ts';
import { sealed, unsealed } from '../../store/seal.ts';

const FORM = `
  create table if not exists posted (
    writer text not null, number integer not null, folder text not null, place text not null,
    student text, parcel text,
    looks integer not null default 0, primary key (writer, number)) without rowid`;

export interface PostedFile extends FileOf {
  /** '' for the folder itself, else the folder of a student in it. */
  readonly place: string;
  /** Absent where a newer one holds it, or where it was taken out. */
  readonly parcel?: Parcel;
  /** In the place of a parcel: what was kept of it is not what was written. */
  readonly spoilt?: About;
}

type About = Pick<Parcel, 'kind' | 'student'>;

type IsThere = (writer: string, number: number) => boolean;

interface Row {
  readonly writer: string;
  readonly number: number;
  readonly place: string;
  /** Kind and student. */
  readonly student: string | null;
  readonly parcel: string | null;
  readonly looks: number;
}

export class KeptPosted {
  readonly #database: DatabaseSync;

  constructor(database: DatabaseSync) {
    database.exec(FORM);
    this.#database = database;
  }

  /** A whole one takes the place of those of its kind and student; what comes on top of others is only noted. */
  put({ writer, number }: FileOf, parcel: Parcel | undefined, { folder, place }: Posting): void {
    const about = parcel && textOf(parcel);
    if (parcel && !parcel.adds)
      this.#database.prepare('update posted set parcel = null where student = ?').run(about!);
    const kept = parcel?.adds ? { ...parcel, text: '' } : parcel;
    this.#database
      .prepare(
        'insert or replace into posted (writer, number, folder, place, student, parcel) values (?, ?, ?, ?, ?, ?)',
      )
      .run(writer, number, folder, place, about ?? null, kept ? sealed({ ...kept }) : null);
  }

  /** It was taken out of its files: nothing of it is kept here. */
  drop(student: string): void {
    this.#database
      .prepare('update posted set parcel = null, student = null where student in (?, ?)')
      .run(...PARCEL_KINDS.map((kind) => textOf({ kind, student })));
  }

  /** The files in a student's folder were taken away. */
  leave(place: string): void {
    this.#database.prepare('delete from posted where place = ?').run(place);
  }

  /** All files were taken away. */
  clear(): void {
    this.#database.exec('delete from posted');
  }

  /** Counts one more look. Returns those that were missing at so many in a row. */
  missing(folder: string, isThere: IsThere, looks: number): readonly PostedFile[] {
    // What was posted elsewhere is nobody's business here.
    this.#database.prepare('delete from posted where folder <> ?').run(folder);
    const rows = this.#database.prepare('select * from posted').all() as unknown as Row[];
    const seen = this.#database.prepare(
      'update posted set looks = ? where writer = ? and number = ?',
    );
    return rows.flatMap((row): PostedFile[] => {
      const { writer, number, place, looks: before } = row;
      const now = isThere(writer, number) ? 0 : before + 1;
      if (now !== before) seen.run(now, writer, number);
      return now >= looks ? [{ writer, number, place, ...contentOf(row) }] : [];
    });
  }
}

const textOf = ({ kind, student }: About): string => `${kind} ${student}`;

/** Never throws: what is damaged is told, and not posted again as it is. */
function contentOf({ student, parcel }: Row): Pick<PostedFile, 'parcel' | 'spoilt'> {
  if (parcel === null) return {};
  const read = parcelIn(parcel);
  if (read && textOf(read) === student) return { parcel: read };
  const [kind = '', ...id] = (student ?? '').split(' ');
  const about = checked(aboutSchema, { kind, student: id.join(' ') });
  return about.success ? { spoilt: about.data } : {};
}

const aboutSchema: z.ZodType<About> = parcelSchema.pick({ kind: true, student: true });

/** Undefined where it is not what was written; an earlier version wrote no sum. */
function parcelIn(text: string): Parcel | undefined {
  const raw = attempt(() => z.record(z.string(), z.unknown()).parse(JSON.parse(text)));
  const { content, whole } = unsealed(raw ?? {});
  const read = checked(parcelSchema, content);
  return read.success && whole !== false ? read.data : undefined;
}
