// Everyday rows of chords as they are held. The golden table was read line by line with a teacher's eye: open shapes
// where they are taught, barres from string 6 or 5 nearest to the nut, fingers as taught; a change of it needs reading.
import { describe, expect, test } from 'vitest';
import { printFrets } from '../../../app/core/fretboard/frets.ts';
import { type PathStep, bestPath } from '../../../app/core/fretboard/path.ts';
import { fingersInWords } from '../../../app/core/fretboard/shape.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { PROGRESSIONS } from './progressions.ts';

/** Twice through, as a section is played. */
const held = (chords: string): readonly PathStep[] => {
  const row = `${chords} ${chords}`.split(' ');
  return bestPath(
    row.map((symbol, i) => ({ chord: chordOf(symbol), bar: i, at: i, gap: 1 })),
    STANDARD,
  ).steps;
};

function written(step: PathStep): string {
  if (step.kind !== 'shape') return step.kind;
  const { chord, shape, why } = step;
  return `${chord.symbol} ${printFrets(shape.frets)} ${fingersInWords(shape)}${why ? ' *' : ''}`;
}

test('the golden table', () => {
  const table = PROGRESSIONS.map(([name, chords]) => {
    const steps = held(chords).slice(0, chords.split(' ').length);
    return `${name}: ${steps.map(written).join(' | ')}`;
  });
  expect(PROGRESSIONS.length).toBeGreaterThanOrEqual(75);
  expect(table).toMatchSnapshot();
});

describe('in every row', () => {
  test.each(PROGRESSIONS)('%s: each chord has one grip', (_, chords) => {
    const grips = new Map<string, Set<string>>();
    for (const step of held(chords)) {
      if (step.kind !== 'shape') continue;
      const { symbol } = step.chord;
      const known = grips.get(symbol) ?? new Set();
      grips.set(symbol, known.add(printFrets(step.shape.frets)));
    }
    for (const [symbol, frets] of grips) expect([symbol, frets.size]).toEqual([symbol, 1]);
  });
});

test('the shapes never depend on the tempo', () => {
  for (const [, chords] of PROGRESSIONS) {
    const at = (gap: number) =>
      bestPath(
        chords
          .split(' ')
          .map((symbol, i) => ({ chord: chordOf(symbol), bar: i, at: i * gap, gap })),
        STANDARD,
      ).steps.map(written);
    expect(at(0.15)).toEqual(at(3));
  }
});

test('a taught shape is held at 99 steps of 100 and more', () => {
  const steps = PROGRESSIONS.flatMap(([, chords]) => held(chords));
  const taught = steps.filter((step) => step.kind === 'shape' && step.shape.taught);
  expect(taught.length / steps.length).toBeGreaterThanOrEqual(0.99);
});
