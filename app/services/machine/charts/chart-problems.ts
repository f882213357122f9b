// What can go wrong with files of charts, in words.
import path from 'node:path';
import type { Problem } from '../../../core/base/result.ts';
import { CHART_SUFFIX } from '../../../core/chart/notation/chart-text.ts';
import { inWords } from '../store/durable.ts';

/** @param at the name of the version that was asked for */
export const noCopy = (at: string): Problem => ({
  code: 'not-there',
  message: `There is no copy ‘${at}’ of this chart.`,
  cure: 'Choose one from the list.',
});

/** @param id of the chart that was asked for */
export const notThere = (id: string): Problem => ({
  code: 'not-there',
  message: `There is no chart ‘${id}’.`,
  cure: 'Choose one from the list.',
});

/** @param error what the disk said */
export const notSaved = (error: unknown): Problem => ({
  code: 'not-saved',
  message: `The chart could not be saved: ${inWords(error)}.`,
  cure: 'Make room on the disk or allow writing to the data folder, then save again.',
});

/** @param error what the disk said */
export const unreadable = (file: string, error: unknown): Problem => ({
  code: 'chart-unreadable',
  message: `The chart file ${file} could not be read: ${inWords(error)}.`,
  cure: 'Mend or move the file; it was left as it is.',
});

/** Among the charts stands something that is none. */
export const NO_FILE = 'chart-no-file';

/** Where a folder or the like has the name of a chart. @param file with its whole path */
export const noFile = (file: string): Problem => ({
  code: NO_FILE,
  message: `${path.basename(file)} among your charts is not a file with text, so it cannot be a chart (${file}).`,
  cure: 'If it is a folder, move it out of the folder ‘charts’, or give it a name without .chart.txt.',
});

/** @param names of files in the folder, at least one. */
export const notTaken = (names: readonly string[]): Problem => ({
  code: 'chart-not-taken',
  message: `${named(names)} in your folder ‘charts’ ${names.length === 1 ? 'is' : 'are'} not read: only files whose names end in ${CHART_SUFFIX} are charts.`,
  cure: `Rename a text to …${CHART_SUFFIX}, or choose “Import …” in the Charts room, which takes scores, too.`,
});

/** One problem for all charts with mistakes in their text; none for none. */
export const flawed = (
  flaws: readonly { readonly file: string; readonly problems: readonly Problem[] }[],
): readonly Problem[] => {
  const [first, ...more] = flaws;
  if (!first) return [];
  if (more.length === 0) return [badFile(first.file, first.problems)];
  return [
    {
      code: 'chart-flawed',
      message: `${flaws.length} charts have a mistake in their text: ${named(flaws.map(({ file }) => path.basename(file, CHART_SUFFIX)))}.`,
      cure: 'Each is marked in the Charts room: open it there to mend it.',
    },
  ];
};

const badFile = (file: string, problems: readonly Problem[]): Problem => ({
  code: 'chart-flawed',
  message: `The chart file ${path.basename(file)} has a mistake: ${problems[0]!.message}.`,
  cure: problems[0]!.cure,
});

const NAMED = 3;

function named(all: readonly string[]): string {
  const first = all.slice(0, NAMED).map((one) => `‘${one}’`);
  const more = all.length - first.length;
  return `${first.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

/** @param titles one or more */
export const changedElsewhere = (titles: readonly string[]): Problem => ({
  code: 'chart-changed-elsewhere',
  message: `Another program changed ${named(titles)} since you last had ${titles.length === 1 ? 'it' : 'them'} open here.`,
  cure: 'If that is not what you meant, their earlier versions stand beside them in the Charts room.',
});

/** Where a text changed without being written. */
export const changedUnseen = (title: string, file: string): Problem => ({
  code: 'chart-changed-unseen',
  message: `The text of ‘${title}’ is not as it was saved, though no program has saved it since: that is a fault of the disk (${path.basename(file)}).`,
  cure: 'Look at its versions in the Charts room, and bring the right one back.',
});

/** @param other the file with the other version */
export const keptBoth = (title: string, other: string): Problem => ({
  code: 'chart-kept-both',
  message: `‘${title}’ was changed by another program while you worked on it. Yours is saved; the other version is kept as ‘${path.basename(other, CHART_SUFFIX)}’.`,
  cure: 'Compare the two and delete the one you do not need.',
});
