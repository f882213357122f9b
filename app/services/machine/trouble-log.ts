// What went wrong inside the program, kept in the data folder for whoever looks into it; no names of people or charts.
import fs from 'node:fs';
import path from 'node:path';
import { isoTimeOf } from '../../core/base/iso-time.ts';
import { readText } from './store/durable.ts';

const TROUBLE_LOG = 'trouble.log';
const EARLIER = 'trouble.1.log';
/** Bytes after which the file is put aside; one earlier one is kept. */
const MOST_BYTES = 256_000;

export interface Trouble {
  /** Part of the program, e.g. `room climb`. */
  readonly where: string;
  readonly name: string;
  readonly message: string;
  readonly stack: string;
}

/** Never throws: there is nobody left to tell. */
export function writeTrouble(directory: string, trouble: Trouble, now: Date): void {
  const file = path.join(directory, TROUBLE_LOG);
  try {
    const size = fs.statSync(file, { throwIfNoEntry: false })?.size ?? 0;
    if (size > MOST_BYTES) fs.renameSync(file, path.join(directory, EARLIER));
    fs.appendFileSync(file, `${isoTimeOf(now)} ${linesOf(trouble)}\n`, { mode: 0o600 });
  } catch {
    // The disk is full or gone, which is said by those who keep passes.
  }
}

/** Latest first, the earlier file too; '' where nothing went wrong yet. */
export function readTroubles(directory: string): string {
  const read = (name: string): string => {
    const found = readText(path.join(directory, name));
    return found.kind === 'text' ? found.text : '';
  };
  return `${read(EARLIER)}${read(TROUBLE_LOG)}`
    .split(/\n(?=\d{4}-\d\d-\d\dT)/)
    .filter((one) => one.trim() !== '')
    .toReversed()
    .join('\n');
}

/** Anything that was thrown, as it is noted. @param where in the program */
export const troubleOf = (where: string, error: unknown): Trouble =>
  error instanceof Error
    ? { where, name: error.name, message: error.message, stack: error.stack ?? '' }
    : { where, name: 'Error', message: String(error), stack: '' };

/** Quoted words are left out: they may be a title, a name or a remark. Of the stack only its places are kept. */
function linesOf({ where, name, message, stack }: Trouble): string {
  const places = stack.split('\n').filter((line) => /^\s+at /.test(line) || line.includes('@'));
  return [`${where}: ${name}: ${withoutQuotes(message)}`, ...places.slice(0, 20)].join('\n');
}

const withoutQuotes = (text: string): string =>
  text.replace(/‘[^’]*’|“[^”]*”|"[^"]*"|'[^']*'|`[^`]*`/g, '‘…’').slice(0, 400);
