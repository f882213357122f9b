// Parts that are computed: octaves double the frequency; thirds are those of the key.
import { describe, expect, it } from 'vitest';
import { derive } from '../../../app/core/lead/derive.ts';
import type { Derivation } from '../../../app/core/model/lead.ts';
import type { PitchedBar } from '../../../app/core/lead/pitched.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { pitched } from './pitched.ts';

const pitches = (bars: readonly PitchedBar[]): unknown[] =>
  bars
    .flatMap((bar) => bar.events.flatMap((e) => (e.kind === 'notes' ? e.notes : [])))
    .map((n) => n.pitch);
const moved = (text: string, by: Derivation, key?: string): unknown[] =>
  pitches(unwrap(derive(pitched(text), by, { key, lift: 0 })));

const IN_C = { key: 'C', lift: 0 };

const hertz = (midi: number): number => 440 * 2 ** ((midi - 69) / 12);

it('reads pitch from string and fret by equal temperament', () => {
  expect(pitches(pitched('1/0 6/0 3/7 2/15 5/x'))).toEqual([64, 40, 62, 74, { mutedOn: 5 }]);
});

it('an octave up doubles every frequency', () => {
  const [before] = pitches(pitched('3/7')) as number[];
  const [after] = moved('3/7', { kind: 'octave', direction: 'up' }) as number[];
  expect(hertz(after!) / hertz(before!)).toBeCloseTo(2, 12);
});

it('a lead from string 3 fret 7 restarts an octave up at string 2 fret 15 (common practice, no source)', () => {
  expect(moved('3/7', { kind: 'octave', direction: 'up' })).toEqual(pitches(pitched('2/15')));
});

describe('scale intervals (degrees counted on the scale of the key by hand)', () => {
  const up3: Derivation = { kind: 'scale', interval: 3, direction: 'up' };
  it.each<[string, string, Derivation, number[]]>([
    ['thirds above in C: C E G A → E G B C', 'C', up3, [64, 67, 71, 72]],
    ['thirds above in A minor are the same notes', 'A minor', up3, [64, 67, 71, 72]],
    [
      'sixths below in C: C E G A → E G B C, an octave lower',
      'C',
      { kind: 'scale', interval: 6, direction: 'down' },
      [52, 55, 59, 60],
    ],
    [
      'F♯ minor: E → G♯, A → C♯; C and G lie outside it and stay a half step above B and F♯',
      'F♯ minor',
      up3,
      [63, 68, 70, 73],
    ],
  ])('%s', (_, key, by, expected) => {
    expect(moved('2/1 1/0 1/3 1/5', by, key)).toEqual(expected);
  });
});

it('a bend arrives at the note of the scale', () => {
  const bars = unwrap(
    derive(pitched('3/7b1'), { kind: 'scale', interval: 3, direction: 'up' }, IN_C),
  );
  // D bent to E becomes F bent to G: still a whole step; E bent a half to F becomes G to A, a whole.
  expect(bars[0]!.events[0]).toMatchObject({ notes: [{ pitch: 65, bend: { semitones: 2 } }] });
  const half = unwrap(
    derive(pitched('3/9b.5'), { kind: 'scale', interval: 3, direction: 'up' }, IN_C),
  );
  expect(half[0]!.events[0]).toMatchObject({ notes: [{ pitch: 67, bend: { semitones: 2 } }] });
});

it('says when there is no key to take thirds from', () => {
  const result = derive(
    pitched('3/7'),
    { kind: 'scale', interval: 3, direction: 'up' },
    { key: undefined, lift: 0 },
  );
  expect(result).toMatchObject({ ok: false, problems: [{ code: 'lead-key' }] });
});
