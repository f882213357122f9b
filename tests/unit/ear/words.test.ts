// What is said of a change and of a take names what happened and what to do.
import { describe, expect, it } from 'vitest';
import type { Findings } from '../../../app/core/ear/listener.ts';
import { changeName, changeWords, findingsWords } from '../../../app/core/ear/words.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';

const change: ChangeHeard = {
  bar: 5,
  change: 3,
  from: 'C',
  to: 'F#m',
  offset: 8,
  timing: 'on-time',
  chord: 'right',
  confidence: 0.9,
};

describe('changeWords', () => {
  it.each([
    [{}, 'right and in time'],
    [{ offset: 140, timing: 'late' }, 'late by 140 ms'],
    [{ offset: -44.6, timing: 'early' }, 'early by a hair (45 ms)'],
    [{ chord: 'held' }, 'still C'],
    [{ chord: 'other', heard: 'F#' }, 'sounds like a gripped F♯'],
    [{ chord: 'muted', offset: 90, timing: 'late' }, 'strings muted or buzzing, late by 90 ms'],
    [
      { chord: 'muted', dead: [2] },
      'string 2 was dead: press it nearer to the fret, and keep other fingers off',
    ],
    [
      { chord: 'muted', dead: [2], fingers: [1] },
      'string 2 was dead: finger 1 presses too far from the fret, or another finger touches it',
    ],
    [
      { chord: 'muted', dead: [6], fingers: ['T'] },
      'string 6 was dead: the thumb presses too far from the fret, or another finger touches it',
    ],
    [
      { chord: 'muted', dead: [1, 2], fingers: [1, 1] },
      'strings 1 and 2 were dead: finger 1 presses too far from the fret, or another finger touches them',
    ],
    [
      { chord: 'muted', dead: [1], fingers: [null] },
      'string 1 was dead: a finger touches it, or the stroke missed it',
    ],
    [
      { chord: 'muted', dead: [3, 1] },
      'strings 1 and 3 were dead: press them nearer to the fret, and keep other fingers off',
    ],
    [
      { chord: 'muted', dead: [5, 2, 1], fingers: [3, 1, null] },
      'strings 1, 2 and 5 were dead: fingers 1 and 3 press too far from the fret, or touch the open one',
    ],
    [
      { chord: 'other', heard: 'Asus2', dead: [2], fingers: [1], extra: 59, ringing: 2 },
      'string 2 rang open: finger 1 does not hold it',
    ],
    [
      { chord: 'other', heard: 'Asus2', dead: [2], extra: 59, ringing: 2 },
      'string 2 rang open: hold it down',
    ],
    [{ to: 'N.C.', chord: 'other', timing: 'unsure' }, 'something sounded where all is silent'],
    [{ chord: 'muted', dead: [1, 2, 3, 4] }, 'most strings were dead: press nearer to the frets'],
    [{ chord: 'other', heard: 'G7', extra: 65 }, 'sounds like a gripped G7, an F too many'],
    [{ chord: 'other', extra: 47 }, 'a B too many: keep that string quiet'],
    [{ chord: 'other', heard: 'C/E', extra: 40, ringing: 6 }, 'an E too many: mute string 6'],
    [{ chord: 'silent', timing: 'silent', offset: undefined }, 'nothing was played'],
    [{ chord: 'unsure' }, 'the ear can’t tell which chord'],
  ] as const)('%o', (more, words) => {
    expect(changeWords({ ...change, ...more } as ChangeHeard)).toBe(words);
  });

  // German H is B, B is B flat (Duden; common practice).
  it.each([
    ['Bb3', 'B3'],
    ['B4', 'H4'],
    ['F#4', 'Fis4'],
    ['Db3', 'Des3'],
    ['Bb7', 'B7'],
  ])('says a lead’s note %s in German as %s', (heard, german) => {
    const words = changeWords({ ...change, chord: 'other', heard }, 'german');
    expect(words).toBe(`sounds like a gripped ${german}`);
  });

  it('names a change with the trade’s signs', () => {
    expect(changeName(change)).toBe('C → F♯m');
    expect(changeName({ from: '', to: 'Bb' })).toBe('to B♭');
  });
});

const fine: Findings = {
  tuning: 4,
  peak: 0.4,
  clipped: 0,
  shift: 0,
  clicksHeard: false,
  lost: 0,
  length: 20,
};

describe('findingsWords', () => {
  it.each([
    [{}, []],
    [{ peak: 0.0005 }, ['ear-silence']],
    [{ peak: 0.01 }, ['ear-too-soft']],
    [{ peak: 1, clipped: 0.01 }, ['ear-clipping']],
    [{ tuning: -22 }, ['ear-detuned']],
    [{ tuning: 15 }, []],
    [{ shift: 2, tuning: 31 }, ['ear-capo', 'ear-detuned']],
  ])('%o', (more, codes) => {
    expect(findingsWords({ ...fine, ...more }).map((p) => p.code)).toEqual(codes);
  });

  it('says how far and what to do', () => {
    const [capo] = findingsWords({ ...fine, shift: -1 });
    expect(capo?.message).toBe('Every chord sounds 1 fret lower than the chart says');
    expect(capo?.cure).toMatch(/capo/);
  });
});
