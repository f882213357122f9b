// Eleven sets of sheets that others wrote without looking at the reader. All words are invented.
import { readFileSync } from 'node:fs';
import type { HeldOut } from '../held-out.ts';

interface Kept {
  readonly name: string;
  readonly lines: readonly string[];
  readonly truth: HeldOut['truth'];
}

const setOf = (name: string): readonly HeldOut[] =>
  (JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as Kept[]).map(
    ({ name: title, lines, truth }) => ({ name: title, text: lines.join('\n'), truth }),
  );

export const APART: readonly HeldOut[] = [
  'first',
  'second',
  'third',
  'fourth',
  'fifth',
  'sixth',
  'seventh',
  'eighth',
  'ninth',
  'tenth',
].flatMap(setOf);

/** Read once, at the end; some of its faults are still to be mended. */
export const LATEST: readonly HeldOut[] = setOf('eleventh');
