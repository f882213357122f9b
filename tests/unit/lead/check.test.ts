// What a lead line must satisfy before anyone is asked to play it.
import { describe, expect, it } from 'vitest';
import { checkPart } from '../../../app/core/lead/check.ts';
import { parsePart } from '../../../app/core/lead/notation.ts';
import { rational } from '../../../app/core/base/rational.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const neck = { strings: 6, frets: 22 };
const bar = rational(4);
const messages = (text: string, bars = 1): string[] =>
  checkPart(unwrap(parsePart(text, 'Line')), Array(bars).fill(bar), 'Line', neck).map(
    (p) => p.message,
  );

describe('a line that can be played has no problems', () => {
  it.each([
    ['4 3/5 h7 p5 3/7b1'],
    ['8t 3/5 3/6 3/7 4 2/8 - -'],
    ['2 1/0 4 3/g5h7 r'],
    ['1 3/7+2/8~'],
  ])('%s', (text) => expect(messages(text)).toEqual([]));
});

describe('a line that cannot is named by bar and entry', () => {
  it.each<[string, RegExp]>([
    ['2 3/7 3/7 4 3/7', /bar 1 lasts 5 quarter notes; the bar has 4/],
    ['2 3/5 p7', /entry 2: a pull-off must go down on the same string, not from 5 to 7/],
    ['2 3/7 h5', /entry 2: a hammer-on must go up/],
    ['2 3/5 2/h7', /entry 2: nothing sounds on string 2/],
    ['2 3/5 4 r h7', /entry 3: nothing sounds on string 3/],
    ['1 3/0b1', /entry 1: a bend needs a fretted note/],
    ['1 3/23', /entry 1: fret 23 is off the neck/],
    ['1 7/3', /entry 1: there is no string 7/],
    ['1 3/5+3/7', /entry 1: string 3 is struck twice at once/],
    ['1 -', /entry 1: there is no note to hold/],
    ['1 3/x~', /entry 1: a muted note has no pitch/],
  ])('%s', (text, expected) => expect(messages(text).join('; ')).toMatch(expected));

  it('says when the line runs past its section', () => {
    expect(messages('1 3/5 | 1 3/5').join()).toMatch(/has a bar 2, but its section ends/);
  });
});
