// Where the segments lie: in the shared folder itself, and in the folders of students in it.
import fs from 'node:fs';
import path from 'node:path';
import { SEGMENT_ENDING } from '../../../core/exchange/shared/segment.ts';

/** Everything lies in this folder of a place, a folder for each writer in it. */
export const HOME = 'rungwise-shared';

/** Every file of a segment, whatever it holds, in the order of their names. */
export const segmentFilesIn = (folder: string): readonly string[] =>
  [folder, ...foldersIn(folder)]
    .flatMap((place) => foldersIn(path.join(place, HOME)))
    .flatMap((writer) =>
      fs
        .readdirSync(writer)
        .filter((file) => file.endsWith(SEGMENT_ENDING))
        .map((file) => path.join(writer, file)),
    )
    .sort();

/** Whole paths. */
export const foldersIn = (folder: string): readonly string[] =>
  fs.existsSync(folder)
    ? fs
        .readdirSync(folder, { withFileTypes: true })
        .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'))
        .map(({ name }) => path.join(folder, name))
    : [];
