// What is said of a wrong chord names the string, the finger that holds it, and the string that rings too many.
import { expect, it } from 'vitest';
import type { ExpectedChange, ExpectedChord } from '../../../app/core/ear/model.ts';
import type { Impression } from '../../../app/core/ear/network/network.ts';
import { LOWEST_PITCH, PITCHES } from '../../../app/core/ear/network/shape.ts';
import { tellChange } from '../../../app/core/ear/tell-change.ts';
import { changeWords } from '../../../app/core/ear/words.ts';
import type { Midi } from '../../../app/core/base/units.ts';

/** C as beginners grip it: x32010, fingers 3, 2 and 1. */
const UNHELD: ExpectedChord = {
  symbol: 'C',
  root: 0,
  pitchClasses: [0, 4, 7],
  lift: 0,
  strings: [null, 48, 52, 55, 60, 64],
  open: [40, 45, 50, 55, 59, 64],
};
const C: ExpectedChord = { ...UNHELD, fingers: [null, 3, 2, null, 1, null] };
const named = { from: 'G', to: 'C' };

function told(chord: ExpectedChord, struck: readonly Midi[], right: number) {
  const change: ExpectedChange = {
    ...{ bar: 0, change: 1, due: 2, until: 4, from: null, to: chord, names: named },
    ...{ struck: true, sounds: true },
  };
  const off = { toneLost: -9, stringLost: -9, toneAdded: -9, stringAdded: -9 };
  const heard: Impression = {
    struck: Float64Array.from({ length: PITCHES }, (_, p) =>
      struck.includes(LOWEST_PITCH + p) ? 6 : -6,
    ),
    facts: { ...off, held: -9, dead: -9, silent: -9, right },
    when: new Float64Array(0),
  };
  const { confidence, ...chordTold } = tellChange(change, heard);
  const at = { bar: 0, change: 1, timing: 'on-time' as const, offset: 3, confidence };
  return { ...chordTold, words: changeWords({ ...at, ...named, ...chordTold }) };
}

it.each([
  [
    [48, 52, 55, 64],
    'string 2 was dead: finger 1 presses too far from the fret, or another finger touches it',
  ],
  [
    [48, 55, 64],
    'strings 2 and 4 were dead: fingers 1 and 2 press too far from the fret, or another finger touches them',
  ],
  [[48, 52, 60, 64], 'string 3 was dead: a finger touches it, or the stroke missed it'],
  [[48, 52, 55, 59, 64], 'string 2 rang open: finger 1 does not hold it'],
  [[48, 52, 55, 61, 64], 'sounds like a gripped Cadd♭9'],
  [
    [48, 52, 64],
    'strings 2 and 3 were dead: finger 1 presses too far from the fret, or touches the open one',
  ],
])('of %j it says “%s”', (struck, words) => {
  expect(told(C, struck, -8).words).toBe(words);
});

it('names the dead string alone where nobody knows the fingers', () => {
  expect(told(UNHELD, [48, 52, 55, 64], -8).words).toBe(
    'string 2 was dead: press it nearer to the fret, and keep other fingers off',
  );
});

it('tells which open string to mute, and no string where the pitch may come from elsewhere', () => {
  const D: ExpectedChord = {
    ...{ symbol: 'D', root: 2, pitchClasses: [2, 6, 9], lift: 0, open: C.open! },
    strings: [null, null, 50, 57, 62, 66],
  };
  expect(told(D, [40, 50, 57, 62, 66], -8)).toMatchObject({
    ringing: 6,
    words: 'an E too many: mute string 6',
  });
  expect(told(D, [50, 57, 62, 66, 67], -8)).not.toHaveProperty('ringing');
});

it('takes no string for dead that sounds another tone of the chord', () => {
  const G7: ExpectedChord = {
    ...{ symbol: 'G7', root: 7, pitchClasses: [2, 5, 7, 11], lift: 0, open: C.open! },
    ...{ strings: [43, 47, 50, 55, 59, 65], fingers: [3, 2, null, null, null, 1] },
  };
  expect(told(G7, [43, 47, 50, 55, 59, 67], -8).words).toBe('sounds like a gripped G');
  expect(told(G7, [43, 47, 50, 55, 59], -8)).toMatchObject({ chord: 'muted', dead: [1] });
});

it('tells nobody to press an open string', () => {
  expect(told(UNHELD, [48, 52, 60, 64], -8).words).toBe(
    'string 3 was dead: a finger touches it, or the stroke missed it',
  );
});

it('says nothing of strings where the chord is right', () => {
  expect(
    told(
      C,
      C.strings!.filter((m) => m !== null),
      6,
    ),
  ).toEqual({
    chord: 'right',
    words: 'right and in time',
  });
});
