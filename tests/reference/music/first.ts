// The charts that the first commit was asked for, and what it made of them.
import fs from 'node:fs';
import { fileURLToPath } from 'node:url';
import { drawChart } from './drawn-chart.ts';
import type { FirstDigests } from './first-digests.ts';

const file = (name: string): string => fileURLToPath(new URL(name, import.meta.url));
export const FIRST = file('first.txt');
export const FIRST_CHORDS = file('first-chords.txt');
export const CHORDS_SINCE = file('chords-since.txt');

/** A chart's name, its text, and the seed of what is done with it. */
export interface AskedChart {
  readonly name: string;
  readonly text: string;
  readonly seed: number;
}

/** The demos as they were then. */
export const firstDemos = (): readonly AskedChart[] =>
  ['low-tide-lanterns', 'paper-streetcar', 'copper-staircase'].map((name, seed) => {
    const text = fs.readFileSync(file(`first-demos/${name}.txt`), 'utf8');
    return { name, text, seed };
  });

export function drawnChart(seed: number, suffixes: readonly string[]): AskedChart {
  const text = drawChart(seed, suffixes);
  return { name: `seed-${seed}`, text, seed };
}

/** "7b5b9: 1 3 5 ♭7 ♭9 ♯11", a line for each suffix; after # stands why. */
export const readChords = (path: string): ReadonlyMap<string, string> =>
  new Map(
    fs
      .readFileSync(path, 'utf8')
      .trimEnd()
      .split('\n')
      .filter((line) => !line.startsWith('# '))
      .map((line) => {
        const colon = line.lastIndexOf(':');
        return [line.slice(0, colon), line.slice(colon + 2)];
      }),
  );

/** Names of scales and piles of fourths in the chord library; nobody types them for a chord. */
export const NO_CHORDS: readonly string[] = ['m11A', 'phryg', 'quartal'];

/** What follows the roots of the drawn charts. */
export const suffixesStillRead = (): readonly string[] =>
  [...readChords(FIRST_CHORDS).keys()].filter((suffix) => !NO_CHORDS.includes(suffix));

/** By the chart's name. */
export const readFirst = (): ReadonlyMap<string, FirstDigests> =>
  new Map(
    fs
      .readFileSync(FIRST, 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => {
        const [name, ...rest] = line.split(/\s+/);
        return [name!, Object.fromEntries(rest.map((one) => one.split('=') as [string, string]))];
      }),
  );

export const firstLine = (name: string, digests: FirstDigests): string =>
  [name, ...Object.entries(digests).map(([what, digest]) => `${what}=${digest}`)].join(' ');

/** The drawn charts that the first commit reads. */
export function askedCharts(): readonly AskedChart[] {
  const suffixes = suffixesStillRead();
  const seeds = [...readFirst().keys()].flatMap((name) => /^seed-(\d+)$/.exec(name)?.[1] ?? []);
  return seeds.map((seed) => drawnChart(Number(seed), suffixes));
}
