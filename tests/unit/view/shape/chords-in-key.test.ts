// The chords of a chart with what sounds above the capo and their place in the key.
import { expect, test } from 'vitest';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { chordsInKey, keyWords } from '../../../../renderer/screens/charts/shapes/chords-in-key.ts';

const chart = (head: string) =>
  unwrap(
    parseChart(`title: T\n${head}tempo: q = 90\nmeter: 4/4\n\n[A]\n| G | Em7 / C / | N.C. | G |\n`),
  );

test('each chord once, sounding a fourth higher with the capo at 5', () =>
  expect(chordsInKey(chart('key: G\ncapo: 5\n'))).toEqual([
    { symbol: 'G', sounds: 'C', numeral: 'I', number: '1' },
    { symbol: 'Em7', sounds: 'Am7', numeral: 'vi7', number: '6m7' },
    { symbol: 'C', sounds: 'F', numeral: 'IV', number: '4' },
  ]));

test('without a key there are no numerals', () =>
  expect(chordsInKey(chart(''))[0]).toEqual({ symbol: 'G', sounds: 'G', numeral: '', number: '' }));

test.each([
  ['key: G\n', 'In G major, without a capo.'],
  ['key: D\ncapo: 2\n', 'Fingered in D major. With the capo at fret 2 it sounds in E major.'],
  [
    'key: G\ntuning: half step down\n',
    'Fingered in G major. With the strings tuned a half step down it sounds in F♯ major.',
  ],
  ['capo: 2\n', 'Capo at fret 2.'],
  ['', 'No key is typed.'],
])('%j: %s', (head, words) => expect(keyWords(chart(head))).toBe(words));
