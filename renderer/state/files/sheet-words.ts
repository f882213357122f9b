// What a sheet of chords and words holds, and what is said of it.
import type { Sheet } from '../../../app/core/sheets/model.ts';

export const hasChords = ({ sections }: Sheet): boolean =>
  sections.some(({ lines }) => lines.some(({ chords }) => chords.length > 0));

export const leftOutOf = ({ leftOut }: Sheet): readonly string[] =>
  leftOut.map(({ line, text, why }) => `Line ${line} is left out, ${why}: ${text}`);
