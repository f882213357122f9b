// How a cost adds up, in words.
import { expect, test } from 'vitest';
import { costWords } from '../../../../renderer/parts/shape/cost-words.ts';

test.each([
  [{ fingers: 3.3, barre: 1.53, stretch: 0 }, '4.8 = 3.3 fingers + 1.5 barre'],
  [{ shift: 0.4, landing: 1.6, aiming: 0.04 }, '2.0 = 1.6 landing + 0.4 shift'],
  [{ lifting: 0 }, '0.0'],
])('%j is %s', (parts, words) => expect(costWords(parts)).toBe(words));
