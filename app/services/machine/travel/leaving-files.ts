// The files of what waits to go into the shared folder: one each in the data folder, with the folder that it is for.
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { z } from 'zod';
import { isoTime } from '../../../core/base/fields.ts';
import { type Parcel, parcelSchema } from '../../../core/exchange/shared/parcel.ts';
import { onDisk } from '../shared/files.ts';
import { setAside } from '../store/backups.ts';
import { assertHere, type DataFolder } from '../store/data-folder.ts';
import { attempt, namesIn } from '../store/durable.ts';
import { type Content, sealed, unsealed } from '../store/seal.ts';

const waitingSchema = z.object({
  /** Nothing that was meant for one folder goes into another. */
  folder: z.string().max(4_000),
  since: isoTime,
  parcel: parcelSchema,
});
export type Waiting = z.infer<typeof waitingSchema>;

const ENDING = '.json';

export class LeavingFiles {
  readonly #data: DataFolder;
  readonly #home: string;

  constructor(data: DataFolder) {
    this.#data = data;
    this.#home = path.join(data.directory, 'shared-leaving');
  }

  get ids(): readonly string[] {
    return namesIn(this.#home)
      .filter((name) => name.endsWith(ENDING))
      .map((name) => name.slice(0, -ENDING.length))
      .sort();
  }

  /** Undefined where it is not what was written. */
  read(id: string): Waiting | undefined {
    return attempt(() => {
      const raw = z
        .record(z.string(), z.unknown())
        .parse(JSON.parse(onDisk.read(this.#fileOf(id))));
      const { content, whole } = unsealed(raw);
      return whole === true ? waitingSchema.parse(content) : undefined;
    });
  }

  /** @throws Error where it cannot be written */
  write(id: string, waiting: Waiting): void {
    assertHere(this.#data);
    fs.mkdirSync(this.#home, { recursive: true, mode: 0o700 });
    onDisk.writeClosed(this.#fileOf(id), sealed({ ...waiting } satisfies Content));
  }

  remove(id: string): void {
    onDisk.remove(this.#fileOf(id));
  }

  setAside(id: string, now: () => Date): void {
    setAside({ root: this.#data.directory, now }, this.#fileOf(id));
    this.remove(id);
  }

  #fileOf = (id: string): string => path.join(this.#home, `${id}${ENDING}`);
}

/** The same for those that take each other's place; one that adds to others has a name of its own. */
export function leavingId({ kind, student, adds, text }: Parcel): string {
  const hash = createHash('sha256').update(student);
  if (adds) hash.update(`\n${text}`);
  return `${kind}-${hash.digest('hex').slice(0, 24)}`;
}
