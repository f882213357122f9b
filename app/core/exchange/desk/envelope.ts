// Opens the single files that travel between student and teacher: JSON with a format name and a version.
import type { z } from 'zod';
import { checked } from '../../base/checked.ts';
import { parseJson } from '../../chart/chart-file.ts';
import { problemsOfIssues } from '../../chart/schema-words.ts';
import { fail, ok, type Problem, type Result } from '../../base/result.ts';
import type { IsoTime } from '../../base/units.ts';

type Content = Readonly<Record<string, unknown>>;

/** What a kind of file is. */
export interface FileForm<T> {
  /** In the file: "rungwise-task-sheet". */
  readonly format: string;
  /** For people: "a task sheet". */
  readonly name: string;
  /** Raised when an older program could no longer read what is written. */
  readonly schemaVersion: number;
  /** `migrations[k]` takes what stood in version k + 1 to version k + 2; each is pure. */
  readonly migrations: readonly ((content: Content) => Content)[];
  readonly maxCharacters: number;
  readonly schema: z.ZodType<T>;
  /** What no schema can say: identities used twice, parts that point nowhere. */
  readonly flaws: (content: T) => readonly Problem[];
  /** What is taken, but worth a word. @param now to compare the clocks with. */
  readonly warnings: (content: T, now: IsoTime) => readonly Problem[];
}

/** A file that was understood, with what is odd about it. */
export interface Opened<T> {
  readonly content: T;
  readonly warnings: readonly Problem[];
}

const MOST_PROBLEMS = 20;

/** As JSON in lines, with the names of its format and version first. */
export const writeEnvelope = <T extends object>(form: FileForm<T>, content: T): string =>
  `${JSON.stringify({ format: form.format, schemaVersion: form.schemaVersion, ...content }, null, 1)}\n`;

/** Never throws; either the whole file is understood or nothing of it is used. */
export function openEnvelope<T>(form: FileForm<T>, text: string, now: IsoTime): Result<Opened<T>> {
  const parsed = parseJson(text, form.maxCharacters);
  if (!parsed.ok) return parsed;
  const envelope = checkEnvelope(form, parsed.value);
  if (!envelope.ok) return envelope;
  const read = checked(form.schema, envelope.value);
  if (!read.success) return fail(...schemaProblems(form, read.error, envelope.value));
  const flaws = form.flaws(read.data);
  if (flaws.length > 0) return fail(...flaws.slice(0, MOST_PROBLEMS));
  return ok({ content: read.data, warnings: form.warnings(read.data, now) });
}

/** The content in the form of the newest version. */
function checkEnvelope<T>(form: FileForm<T>, value: unknown): Result<Content> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return notThis(form);
  const { format, schemaVersion, ...content } = value as Record<string, unknown>;
  if (format !== form.format) return notThis(form, format);
  if (!Number.isInteger(schemaVersion) || (schemaVersion as number) < 1) {
    return refuse('file-version', `this file does not say its version`, askAgain(form));
  }
  if ((schemaVersion as number) > form.schemaVersion) {
    const versions = `version ${String(schemaVersion)}; this program reads up to ${form.schemaVersion}`;
    return refuse(
      'file-newer',
      `this file has ${versions}`,
      'Update Rungwise, then open it again.',
    );
  }
  const later = form.migrations.slice((schemaVersion as number) - 1);
  return ok(later.reduce<Content>((so, migrate) => migrate(so), content));
}

const notThis = <T>(form: FileForm<T>, format?: unknown): Result<never> =>
  refuse(
    'file-format',
    typeof format === 'string'
      ? `this file is ‘${format.slice(0, 60)}’, not ${form.name}`
      : `this file is not ${form.name}`,
    `Choose ${form.name} that Rungwise wrote.`,
  );

const askAgain = <T>(form: FileForm<T>): string => `Ask for ${form.name} again.`;

function schemaProblems<T>(form: FileForm<T>, error: z.ZodError, value: unknown): Problem[] {
  return problemsOfIssues(error.issues, value)
    .slice(0, MOST_PROBLEMS)
    .map((problem) =>
      problem.code === 'chart-data'
        ? { ...problem, code: 'file-data', cure: askAgain(form) }
        : problem,
    );
}

const refuse = (code: string, message: string, cure: string): Result<never> =>
  fail({ code, message, cure });
