// Lengths and sizes as the export says them.
import { expect, it } from 'vitest';
import { lengthWords, sizeWords } from '../../../../../renderer/screens/charts/files/file-words.ts';

it.each([
  [8, '8 s'],
  [60, '1 min'],
  [382, '6 min 22 s'],
  [3600, '1 h'],
  [3900.4, '1 h 5 min'],
])('%d seconds are %s', (seconds, words) => {
  expect(lengthWords(seconds)).toBe(words);
});

it.each([
  [44, '0.0 MB'],
  [3_008_000, '3.0 MB'],
  [34_000_000, '34 MB'],
  [1_080_000_000, '1,080 MB'],
])('%d bytes are %s', (bytes, words) => {
  expect(sizeWords(bytes)).toBe(words);
});
