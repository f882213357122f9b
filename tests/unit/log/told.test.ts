// What the words of the ear for one change amount to.
import { expect, test } from 'vitest';
import { faultsOf, isTold } from '../../../app/core/log/told.ts';
import type { HeardChord, Timing } from '../../../app/core/model/pass.ts';

test.each<[Timing, HeardChord, told: boolean, faults: string[]]>([
  ['on-time', 'right', true, []],
  ['late', 'right', true, ['late']],
  ['early', 'held', true, ['early', 'wrong']],
  ['unsure', 'other', true, ['wrong']],
  ['on-time', 'muted', true, ['wrong']],
  ['silent', 'silent', true, ['silent']],
  ['unsure', 'right', false, []],
  ['unsure', 'unsure', false, []],
  ['on-time', 'unsure', false, []],
])('%s, %s', (timing, chord, told, faults) => {
  expect(isTold({ timing, chord })).toBe(told);
  expect([...faultsOf({ timing, chord })]).toEqual(faults);
});

test('a chord that could not be told is no fault of the player’s, however late it came', () => {
  expect(isTold({ timing: 'late', chord: 'unsure' })).toBe(false);
});
