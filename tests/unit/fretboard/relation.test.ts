// How one shape follows from another, and how a change is made, in the words of a lesson.
import { describe, expect, test } from 'vitest';
import { adviceFor } from '../../../app/core/fretboard/advice.ts';
import { changeBetween } from '../../../app/core/fretboard/change.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { relationOf } from '../../../app/core/fretboard/relation.ts';
import { shapesFor } from '../../../app/core/fretboard/search.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { chordNamed } from '../../support/chords.ts';

const shape = (symbol: string) => shapesFor(chordNamed(symbol), STANDARD)[0]!;

describe('relations', () => {
  test.each([
    ['F', 'F#', 'the same shape, one fret up'],
    ['Gm', 'F#m', 'the same shape, one fret down'],
    ['Bm', 'C#m', 'the same shape, two frets up'],
    ['Em', 'Gm', 'the open shape before it, barred at 3'],
    ['A', 'B', 'the open shape before it, barred at 2'],
    ['F', 'E', 'the same shape, open, without the barre'],
    ['E', 'Am', 'the same fingers, one string higher'],
    ['Am', 'E', 'the same fingers, one string lower'],
    ['G5', 'C5', 'the same fingers, one string higher'],
    ['Em', 'Em7', 'the same without the ring finger'],
    ['Bm', 'Bm7', 'the same without the little finger'],
    ['F', 'Fm', 'the same without the middle finger'],
    ['F', 'F7', 'the same without the little finger'],
    ['Em', 'E', 'the same, and the first finger on string 3, fret 1'],
    ['C', 'C7', 'the same, and the little finger on string 3, fret 3'],
    ['C', 'Am', 'only the ring finger moves'],
    ['B', 'B7', undefined],
    ['G', 'D', undefined],
    ['D', 'D', undefined],
  ])('%s → %s: %s', (from, to, words) => expect(relationOf(shape(from), shape(to))).toBe(words));
});

describe('advice', () => {
  const advice = (from: string, to: string) =>
    adviceFor(changeBetween(shape(from), shape(to), USUAL_NECK), shape(to));
  test.each([
    ['C', 'F', 'Make the whole barre at once; finger 1 leads.'],
    ['D', 'Bm', 'Make the whole barre at once; finger 1 leads.'],
    ['Dm', 'Dm7', 'Lay finger 1 across 2 strings first; the others follow.'],
    ['Em', 'Em7', 'Just lift finger 3.'],
    ['C', 'Am', 'Fingers 1 and 2 stay down; only finger 3 moves.'],
    ['G', 'C', 'Move all 3 fingers together; finger 3 leads, to string 5.'],
    ['F', 'Ab', 'Look 3 frets up the neck first, then move the hand in one go.'],
  ])('%s → %s: %s', (from, to, words) => expect(advice(from, to)).toBe(words));
});
