// Where the segments lie: in the shared folder itself, and in the folders of students in it.
import path from 'node:path';
import { SEGMENT_ENDING } from '../../../core/exchange/shared/segment.ts';
import { type Files, onDisk } from './files.ts';

/** Everything lies in this folder of a place, a folder for each writer in it. */
export const HOME = 'rungwise-shared';

/** Every file of a segment, whatever it holds, in the order of their names. */
export const segmentFilesIn = (folder: string, files: Files = onDisk): readonly string[] =>
  [folder, ...foldersIn(folder, files)]
    .flatMap((place) => foldersIn(path.join(place, HOME), files))
    .flatMap((writer) =>
      files
        .inside(writer)
        .filter(({ name, isFolder }) => !isFolder && name.endsWith(SEGMENT_ENDING))
        .map(({ name }) => path.join(writer, name)),
    )
    .sort();

/** Whole paths. */
export const foldersIn = (folder: string, files: Files = onDisk): readonly string[] =>
  files
    .inside(folder)
    .filter(({ name, isFolder }) => isFolder && !name.startsWith('.'))
    .map(({ name }) => path.join(folder, name));
