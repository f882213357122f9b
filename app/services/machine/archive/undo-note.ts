// How to undo what was brought in last: kept in the data folder, so that it holds over a restart.
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import { z } from 'zod';
import type { IsoTime } from '../../../core/base/units.ts';
import { isoTime } from '../../contract/schemas.ts';
import { type Keeping, UNDO, workFolder } from './keeping.ts';
import { assertHere } from '../store/data-folder.ts';
import { makeFolder } from '../store/make-folder.ts';
import { sealed, unsealed } from '../store/seal.ts';

/** Documents that were put in, and those of them that stood here before. */
const documentsChange = z.object({
  put: z.array(z.unknown()).readonly(),
  before: z.array(z.unknown()).readonly(),
});
export type DocumentsChange = z.output<typeof documentsChange>;
export const NO_CHANGE: DocumentsChange = { put: [], before: [] };

const spans = z.array(z.tuple([z.int(), z.int()]).readonly()).readonly();

const undoNoteSchema = z.object({
  at: isoTime,
  /** Files that were added, with their texts. */
  charts: z.array(z.object({ file: z.string(), text: z.string() })).readonly(),
  rows: z.object({ passes: spans, amendments: spans }),
  passes: z.int(),
  students: documentsChange,
  ladders: documentsChange,
  /** Sound files that were added, each with its CRC-32; earlier notes have none. */
  recordings: z
    .array(z.object({ file: z.string(), sum: z.int() }))
    .readonly()
    .default([]),
  /** Pairs of key and value. */
  settings: documentsChange,
});
export type UndoNote = z.output<typeof undoNoteSchema>;

/** Nothing was brought in yet. */
export const emptyNote = (at: IsoTime): UndoNote => ({
  at,
  charts: [],
  rows: { passes: [], amendments: [] },
  passes: 0,
  students: NO_CHANGE,
  ladders: NO_CHANGE,
  settings: NO_CHANGE,
  recordings: [],
});

const fileOf = (keeping: Keeping): string => path.join(workFolder(keeping), UNDO);

/** On the disk before it returns. @throws where the data folder has gone or the disk refuses */
export function writeUndoNote(keeping: Keeping, note: UndoNote): void {
  assertHere(keeping.folder);
  makeFolder(workFolder(keeping));
  writeFileSync(fileOf(keeping), sealed({ ...note }), { mode: 0o600, fsync: true });
}

/** Undefined where nothing can be undone, or not any more; a note that was changed takes nothing out. */
export function readUndoNote(keeping: Keeping): UndoNote | undefined {
  try {
    const raw = z.looseObject({}).parse(JSON.parse(fs.readFileSync(fileOf(keeping), 'utf8')));
    const { content, whole } = unsealed(raw);
    return whole === false ? undefined : undoNoteSchema.parse(content);
  } catch {
    return undefined;
  }
}

/** From now on nothing can be undone. */
export const dropUndoNote = (keeping: Keeping): void => fs.rmSync(fileOf(keeping), { force: true });
