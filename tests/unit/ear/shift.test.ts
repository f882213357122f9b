// "Every chord sounds higher" is said where all do, not where some are other chords.
import { describe, expect, it } from 'vitest';
import type { ExpectedChange, ExpectedChord } from '../../../app/core/ear/model.ts';
import { shiftFinder } from '../../../app/core/ear/shift.ts';

const CHORDS = { G: [7, 11, 2], C: [0, 4, 7], D: [2, 6, 9], A: [9, 1, 4], E: [4, 8, 11] };
const DIMINISHED = [2, 5, 8, 11];

function due(pitchClasses: readonly number[]): ExpectedChange {
  const to: ExpectedChord = { symbol: '', root: pitchClasses[0]!, pitchClasses, lift: 0 };
  return {
    ...{ bar: 0, change: 0, due: 0, until: 2, from: null, to, names: { from: '', to: '' } },
    ...{ struck: true, sounds: true },
  };
}

const heard = (pitchClasses: readonly number[]) =>
  Array.from({ length: 12 }, (_, pc) => (pitchClasses.includes(pc) ? 0.999 : 0.001));

function shiftOf(
  changes: readonly (readonly [due: readonly number[], heard: readonly number[]])[],
) {
  const finder = shiftFinder();
  for (const [asked, sounded] of changes) finder.hear(due(asked), heard(sounded));
  return finder.found();
}

const up = (pitchClasses: readonly number[], by: number) =>
  pitchClasses.map((pc) => (pc + by) % 12);

describe('shiftFinder', () => {
  const { G, C, D, A, E } = CHORDS;

  it.each([1, 2, 5, 6, -5, -1])('finds all chords %i semitones away', (by) => {
    const all = [G, C, D, A].map((chord) => [chord, up(chord, by + 12)] as const);
    expect(shiftOf(all)).toBe(by);
  });

  it('finds them where one was played otherwise, and where one sounds the same three frets higher', () => {
    const three = [G, C, D].map((chord) => [chord, up(chord, 3)] as const);
    expect(shiftOf([...three, [A, E]])).toBe(3);
    expect(shiftOf([...three, ...three, [DIMINISHED, DIMINISHED], [A, up(A, 3)]])).toBe(3);
  });

  it('says nothing where half of the chords are right and the others are other chords', () => {
    expect(
      shiftOf([
        [G, G],
        [D, A],
        [G, G],
        [D, A],
      ]),
    ).toBe(0);
    expect(
      shiftOf([
        [G, G],
        [C, G],
        [G, G],
        [C, G],
        [D, A],
      ]),
    ).toBe(0);
  });
});
