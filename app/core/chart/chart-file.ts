// Chart files: one chart as JSON in an envelope with a version, read without trusting a byte of it.
import { checked } from '../base/checked.ts';
import { type Problem, type Result, fail, ok } from '../base/result.ts';
import { MAX_DEPTH, MAX_TEXT } from '../model/limits.ts';
import type { Chart } from '../model/chart.ts';
import { chartSchema } from './schema.ts';
import { problemsOfIssues } from './schema-words.ts';

/** What the file says it is. */
export const CHART_FORMAT = 'rungwise-chart';
/** Raised when an older program could no longer read what is written. */
export const CHART_SCHEMA_VERSION = 1;
/** How many problems are worth reading at once. */
const MOST_PROBLEMS = 20;

/** Never throws; a hostile or broken file gives problems and leaves nothing behind. */
export function readChartFile(text: string): Result<Chart> {
  const parsed = parseJson(text, MAX_TEXT);
  if (!parsed.ok) return parsed;
  const envelope = readEnvelope(parsed.value);
  if (!envelope.ok) return envelope;
  const chart = checked(chartSchema, envelope.value);
  if (chart.success) return ok(chart.data);
  return fail(...problemsOfIssues(chart.error.issues, envelope.value).slice(0, MOST_PROBLEMS));
}

function readEnvelope(value: unknown): Result<unknown> {
  if (!isRecord(value) || value.format !== CHART_FORMAT) {
    return refuse(
      'file-format',
      'this file is not a Rungwise chart',
      'Choose a chart file that Rungwise exported.',
    );
  }
  const version = value.schemaVersion;
  if (typeof version === 'number' && Number.isInteger(version) && version > CHART_SCHEMA_VERSION) {
    const message = `this chart file has version ${version}; this program reads up to ${CHART_SCHEMA_VERSION}`;
    return refuse('file-newer', message, 'Update Rungwise, then open it again.');
  }
  if (version !== CHART_SCHEMA_VERSION) {
    return refuse(
      'file-version',
      'this chart file does not say its version',
      'Export the chart again.',
    );
  }
  return ok(value.chart);
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** JSON of a bounded size and depth, without keys that reach for an object's prototype. */
export function parseJson(text: string, maxCharacters: number): Result<unknown> {
  if (text.length > maxCharacters) {
    const message = `the file has ${text.length} characters; the most that is read is ${maxCharacters}`;
    return refuse('file-large', message, 'Choose a smaller file.');
  }
  if (depthOf(text) > MAX_DEPTH) {
    return refuse(
      'file-deep',
      `the file is nested more than ${MAX_DEPTH} levels deep`,
      CHOOSE_ANOTHER,
    );
  }
  try {
    return withoutPrototypes(JSON.parse(text));
  } catch {
    const message = text.trim() === '' ? 'the file is empty' : 'the file breaks off or is not JSON';
    return refuse('file-unreadable', message, 'Export it again, or take an earlier copy.');
  }
}

const CHOOSE_ANOTHER = 'Choose a chart file that Rungwise exported.';

/** Deepest nesting of brackets outside strings, in one look without recursion. */
function depthOf(text: string): number {
  let depth = 0;
  let deepest = 0;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const sign = text.charCodeAt(i);
    if (quoted) {
      if (sign === BACKSLASH) i++;
      else if (sign === QUOTE) quoted = false;
    } else if (sign === QUOTE) quoted = true;
    else if (sign === OPEN_BRACE || sign === OPEN_BRACKET) deepest = Math.max(deepest, ++depth);
    else if (sign === CLOSE_BRACE || sign === CLOSE_BRACKET) depth--;
  }
  return deepest;
}

const [QUOTE, BACKSLASH] = [34, 92];
const [OPEN_BRACE, CLOSE_BRACE, OPEN_BRACKET, CLOSE_BRACKET] = [123, 125, 91, 93];

const FORBIDDEN_KEYS = ['__proto__', 'constructor', 'prototype'];

function withoutPrototypes(value: unknown): Result<unknown> {
  const waiting: unknown[] = [value];
  while (waiting.length > 0) {
    const next = waiting.pop();
    if (typeof next !== 'object' || next === null) continue;
    const key = FORBIDDEN_KEYS.find((name) => Object.hasOwn(next, name));
    if (key)
      return refuse(
        'file-hostile',
        `the file holds a “${key}”, which no chart has`,
        CHOOSE_ANOTHER,
      );
    for (const item of Object.values(next)) waiting.push(item);
  }
  return ok(value);
}

const refuse = (code: string, message: string, cure: string): Result<never> => {
  const problem: Problem = { code, message, cure };
  return fail(problem);
};
