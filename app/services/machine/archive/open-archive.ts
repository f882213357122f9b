// Reads an archive: what is in it is checked against its sums and sizes, nothing is taken by its name alone.
import fs from 'node:fs';
import { z } from 'zod';
import { checked } from '../../../core/base/checked.ts';
import type { Problem, Result } from '../../../core/base/result.ts';
import { fail, ok } from '../../../core/base/result.ts';
import type { IsoTime } from '../../../core/base/units.ts';
import { CHART_SUFFIX, readChartHead } from '../../../core/chart/notation/chart-text.ts';
import { readDirectory, type ZipEntry } from '../../../core/exchange/zip/directory.ts';
import { extract } from '../../../core/exchange/zip/extract.ts';
import { MAX_RECORDING_BYTES } from '../../../core/exchange/recording.ts';
import { isoTime } from '../../contract/schemas.ts';
import { kindOf } from '../recordings/recording-files.ts';
import { inWords } from '../store/durable.ts';
import { type ArchivedRecording, RECORDING_PLACE, recordingsIn } from './archived-recordings.ts';

export const ARCHIVE_NOTE = 'archive.json';
const ARCHIVE_VERSION = 1;
const FORMAT = 'rungwise-archive';

/** Files, and bytes of an archive, of a chart, of a small document and of a log that are opened. */
const MOST_FILES = 50_000;
const MOST_ARCHIVE = 1_000_000_000;
const MOST_CHART = 4_000_000;
const MOST_DOCUMENT = 50_000_000;
const MOST_LOG = 2_000_000_000;
const MOST_NOTE = 20_000;

export interface Archive {
  readonly made: IsoTime;
  readonly program: string;
  readonly charts: readonly TextInArchive[];
  /** Texts of the small documents by their file: `settings.json` … */
  readonly documents: ReadonlyMap<string, string>;
  readonly recordings: readonly ArchivedRecording[];
  /** Reads the file once more, for the sound at a place in it; undefined where that is not whole. */
  readonly sounds: () => (place: string) => Uint8Array | undefined;
  /** Where its log was put. */
  readonly log?: string;
  readonly problems: readonly Problem[];
}

export interface TextInArchive {
  /** Its place in the archive. */
  readonly name: string;
  readonly title: string;
  readonly id?: string;
  readonly text: string;
}

const noteSchema = z.object({
  format: z.literal(FORMAT),
  version: z.int().min(1),
  made: isoTime,
  program: z.string().max(40),
});

/** The text of the note that makes a ZIP file an archive. @param program version */
export const noteOf = (made: IsoTime, program: string): string =>
  JSON.stringify({ format: FORMAT, version: ARCHIVE_VERSION, made, program });

const CHART_PLACE = /^charts\/([^/\\]{1,200})\.chart\.txt$/;
/** Deleted charts and the note itself: in it, and not brought in. */
const STAYS = /^removed-charts\/[^/\\]{1,200}\.chart\.txt$|^archive\.json$/;
const DOCUMENTS = ['settings.json', 'ladders.json', 'students.json'];

/** @param logTo Where its log goes. */
export function openArchive(file: string, logTo: string): Result<Archive> {
  try {
    const { size } = fs.statSync(file);
    if (size > MOST_ARCHIVE) return notOurs(`it is larger than ${MOST_ARCHIVE / 1e9} GB`);
    return readArchive(fs.readFileSync(file), logTo, () => fs.readFileSync(file));
  } catch (error) {
    return notOurs(inWords(error));
  }
}

/** What {@link openArchive} does with the bytes of the file. */
export function readArchive(
  bytes: Uint8Array,
  logTo: string,
  again: () => Uint8Array = () => bytes,
): Result<Archive> {
  const directory = readDirectory(bytes, MOST_FILES);
  if (!directory.ok) return notOurs(directory.problems[0]!.message);
  const note = readNote(bytes, directory.value);
  if (!note.ok) return note;
  const problems: Problem[] = [];
  const read = (entry: ZipEntry, most: number): Uint8Array<ArrayBuffer> | undefined => {
    const content = extract(bytes, entry, most);
    if (content.ok) return content.value;
    problems.push(leftOut(entry.name, content.problems[0]!.message));
    return undefined;
  };
  const charts: TextInArchive[] = [];
  const documents = new Map<string, string>();
  const notes = new Map<string, string>();
  let log: string | undefined;
  for (const entry of directory.value) {
    const chart = CHART_PLACE.exec(entry.name);
    if (chart) {
      const content = read(entry, MOST_CHART);
      if (content) charts.push(chartOf(entry.name, chart[1]!, decode(content)));
    } else if (DOCUMENTS.includes(entry.name)) {
      const content = read(entry, MOST_DOCUMENT);
      if (content) documents.set(entry.name, decode(content));
    } else if (entry.name === 'log.sqlite') {
      const content = read(entry, MOST_LOG);
      if (content) fs.writeFileSync((log = logTo), content, { mode: 0o600 });
    } else if (RECORDING_PLACE.test(entry.name)) {
      const content = kindOf(entry.name) ? undefined : read(entry, MOST_NOTE);
      if (content) notes.set(entry.name, decode(content));
    } else if (!STAYS.test(entry.name)) problems.push(unknown(entry.name));
  }
  const entries = new Map(directory.value.map((entry) => [entry.name, entry]));
  const places = [...entries.keys()].filter((name) => RECORDING_PLACE.test(name));
  return ok({
    ...{ ...note.value, charts, documents, ...(log && { log }), problems },
    recordings: recordingsIn(places, notes),
    sounds: () => {
      const whole = again();
      return (place) => {
        const entry = entries.get(place);
        const content = entry && extract(whole, entry, MAX_RECORDING_BYTES);
        return content?.ok ? content.value : undefined;
      };
    },
  });
}

function readNote(
  bytes: Uint8Array,
  entries: readonly ZipEntry[],
): Result<{ readonly made: IsoTime; readonly program: string }> {
  const entry = entries.find(({ name }) => name === ARCHIVE_NOTE);
  if (!entry) return notOurs('it does not say that it is one');
  const content = extract(bytes, entry, MOST_CHART);
  if (!content.ok) return notOurs(content.problems[0]!.message);
  const note = checked(noteSchema, parse(decode(content.value)));
  if (!note.success) return notOurs('it does not say when it was made');
  const { version, made, program } = note.data;
  if (version > ARCHIVE_VERSION) return newer(program);
  return ok({ made, program });
}

function chartOf(name: string, file: string, text: string): TextInArchive {
  const { id, title } = readChartHead(text);
  return { name, title: title ?? file, text, ...(id === undefined ? {} : { id }) };
}

/** The name of a chart's file without folder and ending. */
export const fileOfChart = (name: string): string =>
  name.slice(name.lastIndexOf('/') + 1, -CHART_SUFFIX.length);

const decode = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

const notOurs = (why: string): Result<never> =>
  fail({
    code: 'archive-unreadable',
    message: `This file is not an archive of Rungwise, or it is damaged: ${why}.`,
    cure: 'Choose the file that “Save everything” made, or an earlier one. Nothing was changed here.',
  });

const unknown = (name: string): Problem => ({
  code: 'archive-left-out',
  message: `This archive holds ‘${name.slice(0, 80)}’, which is nothing that Rungwise knows; it is left out.`,
  cure: 'If you did not put it there yourself, the file is damaged: take an earlier one, or bring in the rest.',
});

const newer = (program: string): Result<never> =>
  fail({
    code: 'archive-newer',
    message: `This archive was made by a newer Rungwise (${program}).`,
    cure: 'Update Rungwise on this computer, then bring it in. Nothing was changed here.',
  });

const leftOut = (name: string, why: string): Problem => ({
  code: 'archive-left-out',
  message: `‘${name}’ in the archive could not be read: ${why}.`,
  cure: 'The rest can be brought in; take an earlier archive for this part.',
});
