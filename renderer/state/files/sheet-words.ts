// What a sheet of chords and words holds, and what is said of it.
import type { Sheet } from '../../../app/core/sheets/model.ts';

/** Was any chord found in what was pasted? */
export const hasChords = ({ sections }: Sheet): boolean =>
  sections.some(({ lines }) => lines.some(({ chords }) => chords.length > 0));

/** A sentence for each line that is left out. */
export const leftOutOf = ({ leftOut }: Sheet): readonly string[] =>
  leftOut.map(({ line, text, why }) => `Line ${line} is left out, ${why}: ${text}`);
