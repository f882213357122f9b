// Above a capo the same symbols are fingered with the same shapes: charts name what is fingered.
import { expect, test } from 'vitest';
import { bestPath } from '../../../app/core/fretboard/path.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';

const steps = ['A', 'D', 'F#m'].map((symbol, bar) => ({
  chord: chordOf(symbol),
  bar,
  at: 0,
  gap: 1,
}));
const fretsAt = (capo: number) =>
  bestPath(steps, STANDARD, { neck: { ...USUAL_NECK, capo } }).steps.map((step) =>
    step.kind === 'shape' ? step.shape.frets.map((fret) => fret ?? 'x').join('') : step.kind,
  );

test('a capo leaves the shapes of a chart’s chords as they are named', () => {
  expect(fretsAt(2)).toEqual(fretsAt(0));
});
