// The page on the notation: every example in it is read without a mistake.
import fs from 'node:fs';
import { expect, test } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';

const page = fs.readFileSync(
  new URL('../../../assets/handbook/notation.md', import.meta.url),
  'utf8',
);
const HEAD = 'title: Example\nkey: G\ntempo: 96\n';
/** What must stand around an example of each kind. */
const AROUND = new Map<string, (text: string) => string>([
  ['chart', (text) => text],
  ['song', (text) => HEAD + text],
  ['section', (text) => `${HEAD}[Verse]\n${text}`],
  ['bars', (text) => `${HEAD}[Verse]\n${text}`],
]);
/** The grammar is tested beside the reader, in grammar.test.ts. */
const examples = [...page.matchAll(/^```(\w+)\n([\s\S]*?)^```/gmu)]
  .map(([, kind, text]) => [kind!, text!] as const)
  .filter(([kind]) => kind !== 'ebnf');

test('it has examples', () => expect(examples.length).toBeGreaterThan(12));

test.each(examples)('%s: %s', (kind, text) => {
  expect(parseChart(AROUND.get(kind)!(text))).toMatchObject({ ok: true });
});
