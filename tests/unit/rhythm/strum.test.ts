// Strum patterns: the typed signs, and the strokes a bar gets.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { barLength, meterOf } from '../../../app/core/rhythm/meter.ts';
import type { Feel, Meter } from '../../../app/core/model/chart.ts';
import { STRUM_LIBRARY, strumSuits, strumsFor } from '../../../app/core/rhythm/strum-library.ts';
import { parseStrum, printStrum, strokesInBar } from '../../../app/core/rhythm/strum.ts';
import type { PlayedBar } from '../../../app/core/model/unit.ts';
import { type Rational, rational } from '../../../app/core/base/rational.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { meters, strums } from '../chart/arbitrary.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';

function bar(strum: string | undefined, more: Partial<PlayedBar> = {}): PlayedBar {
  const meter: Meter = more.meter ?? meterOf(4, 4);
  return {
    section: 'Verse',
    bar: 1,
    time: 1,
    meter,
    feel: { kind: 'straight' },
    tempo: { bpm: 100, beat: 'quarter' },
    length: barLength(meter),
    pickup: false,
    ...(strum && { strum: unwrap(parseStrum(strum)) }),
    chords: [],
    ...more,
  };
}

const show = ({ n, d }: Rational): string => (d === 1 ? `${n}` : `${n}/${d}`);
const moments = (played: PlayedBar): string[] => strokesInBar(played).map(({ at }) => show(at));

describe('the typed form', () => {
  test('print and read are exact inverses, grouped for any meter', () => {
    fc.assert(
      fc.property(strums, meters(), (strum, meter) => {
        expect(unwrap(parseStrum(printStrum(strum)))).toEqual(strum);
        expect(unwrap(parseStrum(printStrum(strum, meter)))).toEqual(strum);
      }),
    );
  });

  test('arrows, bowing signs and small letters mean the same', () => {
    const typed = ['eighths ↓- ↓↑', 'eighths ⊓- ⊓∨', 'Eighths: d- du', 'eighths D - D U'];
    expect(new Set(typed.map((text) => printStrum(unwrap(parseStrum(text)))))).toEqual(
      new Set(['eighths D- DU']),
    );
  });

  test('in 6/8 the eighths are printed in threes', () => {
    const strum = unwrap(parseStrum('eighths D>-DU-D'));
    expect(printStrum(strum, meterOf(6, 8))).toBe('eighths D>-D U-D');
  });

  test.each([
    ['D- DU', 'strum-grid'],
    ['eighths', 'strum-empty'],
    ['eighths -- rr', 'strum-empty'],
    ['eighths D- . DU', 'strum-sign'],
    ['eighths Dxm', 'strum-sign'],
    ['eighths D- Q-', 'strum-sign'],
    ['eighths D>>', 'strum-sign'],
    [`eighths ${'DU '.repeat(49)}`, 'strum-long'],
  ])('“%s” is refused', (text, code) => {
    expect(parseStrum(text)).toMatchObject({ ok: false, problems: [{ code }] });
  });
});

describe('strokes of a bar', () => {
  test('ringing on is no stroke, a rest is one to the strings', () => {
    const strokes = strokesInBar(bar('eighths D- Dx>U -r D-'));
    expect(strokes.map(({ at, cell }) => [show(at), cell.kind])).toEqual([
      ['0', 'stroke'],
      ['1', 'stroke'],
      ['3/2', 'stroke'],
      ['5/2', 'rest'],
      ['3', 'stroke'],
    ]);
    expect(strokes[1]!.cell).toMatchObject({ direction: 'down', accent: true, muted: true });
  });

  test('a short pattern repeats, and is cut where the bar ends', () => {
    expect(moments(bar('eighths DU', { meter: meterOf(3, 4) }))).toHaveLength(6);
    expect(moments(bar('eighths D- D- D- D-', { meter: meterOf(7, 8) }))).toEqual([
      '0',
      '1',
      '2',
      '3',
    ]);
  });

  test('a pickup of two beats plays the end of the pattern', () => {
    const pickup = bar('eighths D- D- DU DU', { pickup: true, length: rational(2) });
    expect(moments(pickup)).toEqual(['0', '1/2', '1', '3/2']);
  });

  test('a pickup that starts between two strokes waits for the next one', () => {
    const pickup = bar('eighths D- D- D- DU', { pickup: true, length: rational(3, 4) });
    expect(moments(pickup)).toEqual(['1/4']);
  });

  test('swing moves the up-strokes', () => {
    const swing: Feel = { kind: 'swing', value: 8, long: 2, short: 1 };
    const strokes = strokesInBar(bar('eighths DU', { feel: swing }));
    expect(strokes.slice(0, 3).map(({ swungAt }) => show(swungAt))).toEqual(['0', '2/3', '1']);
    expect(strokes.slice(0, 3).map(({ at }) => show(at))).toEqual(['0', '1/2', '1']);
  });

  test('without a pattern there is one down-stroke on each beat and each change', () => {
    const plain = bar(undefined, {
      meter: meterOf(6, 8),
      chords: [{ at: rational(1), chord: chordOf('D') }],
    });
    expect(moments(plain)).toEqual(['0', '1', '3/2']);
  });
});

test('every pattern of the library fills whole bars of its own quarters', () => {
  for (const { name, quarters, pattern } of STRUM_LIBRARY) {
    expect(pattern.cells.length / pattern.grid, name).toBe(quarters);
  }
  expect(new Set(STRUM_LIBRARY.map(({ name }) => name)).size).toBe(STRUM_LIBRARY.length);
});

test.each([
  ['4/4', [4, 4], 'quarters, all down', 'eighths in six, one stroke to a beat'],
  [
    '3/4',
    [3, 4],
    'eighths in three, all down on the beats',
    'eighths in six, ups before the beats',
  ],
  [
    '6/8',
    [6, 8],
    'eighths in six, ups before the beats',
    'eighths in three, all down on the beats',
  ],
  ['12/8', [12, 8], 'eighths in six, one stroke to a beat', 'eighths, all down'],
  ['5/4', [5, 4], 'eighths in five beats, down and up', 'quarters, all down'],
  ['7/8', [7, 8], 'eighths in seven, all down', 'eighths, all down'],
] as const)(
  'in %s the library offers what fits, and nothing counted otherwise',
  (_, meter, yes, no) => {
    const names = strumsFor(meterOf(meter[0], meter[1])).map(({ name }) => name);
    expect(names).toContain(yes);
    expect(names).not.toContain(no);
  },
);

test('a feel is spoken by its own grid', () => {
  const named = (start: string) => STRUM_LIBRARY.find(({ name }) => name.startsWith(start))!;
  const swing = (value: 8 | 16) => ({ kind: 'swing', value, long: 2, short: 1 }) as const;
  const suits = (start: string) =>
    [{ kind: 'straight' } as const, swing(8), swing(16)].map((feel) =>
      strumSuits(named(start), feel),
    );
  expect(suits('eighths, all')).toEqual([true, true, false]);
  expect(suits('triplets, all')).toEqual([false, true, false]);
  expect(suits('sixteenths, down')).toEqual([true, false, true]);
});

test('a name that promises accents on 2 and 4 keeps the promise', () => {
  const accents = STRUM_LIBRARY.filter(({ name }) => name.endsWith('accents on 2 and 4'));
  for (const { name, pattern } of accents) {
    const at = pattern.cells.flatMap((cell, i) =>
      cell.kind === 'stroke' && cell.accent ? [i / pattern.grid + 1] : [],
    );
    expect(at, name).toEqual([2, 4]);
  }
  expect(accents.length).toBeGreaterThan(2);
});
