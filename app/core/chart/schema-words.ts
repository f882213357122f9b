// Says in our own words what a schema found wrong, and at which bar of which section.
import type { z } from 'zod';
import type { Problem } from '../base/result.ts';

type Issue = z.core.$ZodIssue;
type Path = readonly PropertyKey[];

/** `value` is what was checked; section names are looked up in it. */
export function problemsOfIssues(issues: readonly Issue[], value: unknown): readonly Problem[] {
  return issues.map((issue) => problemOf(issue, value));
}

function problemOf(issue: Issue, value: unknown): Problem {
  const params = issue.code === 'custom' ? issue.params : undefined;
  if (typeof params?.code === 'string' && typeof params.cure === 'string') {
    return { code: params.code, message: issue.message, cure: params.cure };
  }
  const place = placeWords(issue.path, value);
  return {
    code: 'chart-data',
    message: `${place} ${whatWords(issue, isMissing(value, issue.path))}`,
    cure: 'Mend the file, or export the chart again.',
  };
}

function whatWords(issue: Issue, missing: boolean): string {
  if (missing) return 'is missing';
  switch (issue.code) {
    case 'invalid_type':
      return `should be ${typeWord(issue.expected)}`;
    case 'too_small':
      return `is below ${String(issue.minimum)}${lengthWord(issue.origin)}`;
    case 'too_big':
      return `is above ${String(issue.maximum)}${lengthWord(issue.origin)}`;
    case 'unrecognized_keys':
      return `has “${issue.keys.map((key) => key.slice(0, 40)).join('”, “')}”, which this program does not know`;
    case 'invalid_value':
      return `should be ${issue.values.map((v) => JSON.stringify(v)).join(' or ')}`;
    case 'custom':
      return issue.message;
    default:
      return 'cannot be read';
  }
}

const TYPE_WORDS: ReadonlyMap<string, string> = new Map([
  ['int', 'a whole number'],
  ['number', 'a number'],
  ['string', 'text'],
  ['array', 'a list'],
  ['object', 'an object'],
  ['boolean', 'true or false'],
]);

const typeWord = (type: string): string => TYPE_WORDS.get(type) ?? type;

const lengthWord = (origin: string): string =>
  origin === 'array' ? ' items' : origin === 'string' ? ' characters' : '';

/** "bar 7 of ‘Bridge’: chord 2: symbol"; indexes count from 1. */
function placeWords(path: Path, value: unknown): string {
  if (path.length === 0) return 'the chart';
  const words: string[] = [];
  for (let i = 0; i < path.length; i++) {
    const [key, index] = [String(path[i]), path[i + 1]];
    const name = ITEM_WORDS.get(key);
    if (name === undefined || typeof index !== 'number') words.push(key);
    else {
      words.push(key === 'sections' ? sectionWord(value, index) : `${name} ${index + 1}`);
      i++;
    }
  }
  return words.filter((word) => word !== 'content').join(', ');
}

const ITEM_WORDS: ReadonlyMap<string, string> = new Map([
  ['sections', 'section'],
  ['bars', 'bar'],
  ['chords', 'chord'],
  ['shapes', 'shape'],
  ['form', 'form entry'],
  ['cells', 'strum sign'],
  ['strings', 'string'],
  ['endings', 'ending'],
]);

function sectionWord(value: unknown, index: number): string {
  const name = at(value, ['sections', index, 'name']);
  return typeof name === 'string' ? `‘${name.slice(0, 40)}’` : `section ${index + 1}`;
}

const isMissing = (value: unknown, path: Path): boolean =>
  path.length > 0 && at(value, path) === undefined;

function at(value: unknown, path: Path): unknown {
  let here = value;
  for (const key of path) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, key)) return undefined;
    here = (here as Record<PropertyKey, unknown>)[key];
  }
  return here;
}
