// What a change asks of the hand: which finger does what, how far, and how that is said.
import { describe, expect, test } from 'vitest';
import { parseFrets } from '../../../app/core/fretboard/frets.ts';
import { type ShapeChange, changeBetween } from '../../../app/core/fretboard/change.ts';
import { shapeWith, unfingeredShape } from '../../../app/core/fretboard/ease.ts';
import { fingeringsOf } from '../../../app/core/fretboard/fingering.ts';
import { tipDistance, USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { reasonFor } from '../../../app/core/fretboard/reason.ts';
import { type Shape, fingersOf } from '../../../app/core/fretboard/shape.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import type { SoundingChord } from '../../../app/core/model/chord.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { unwrap } from '../../../app/core/base/result.ts';

/** The shape with the fingers given ("-32-1-"), so that no test depends on the ranking. */
function held(symbol: string, text: string, fingers: string): Shape {
  const frets = unwrap(parseFrets(text));
  const chord = unwrap(readChord(symbol)) as SoundingChord;
  const sounding = unfingeredShape(frets, chord, STANDARD, USUAL_NECK)!;
  const shapes = fingeringsOf(frets, USUAL_NECK).map((f) =>
    shapeWith(sounding, f, chord, USUAL_NECK),
  );
  return shapes.find(
    (s) =>
      fingersOf(s)
        .map((f) => f ?? '-')
        .join('') === fingers,
  )!;
}
const C = held('C', 'x32010', '-32-1-');
const AM = held('Am', 'x02210', '--231-');
const G = held('G', '320003', '21---3');
const F = held('F', '133211', '134211');
const BM = held('Bm', 'x24432', '-13421');
const EM = held('Em', '022000', '-12---');
const change = (from: Shape, to: Shape) => changeBetween(from, to, USUAL_NECK);
const kinds = ({ fingers }: ShapeChange) => fingers.map((m) => `${m.finger} ${m.kind}`).join(', ');

describe('finger by finger', () => {
  test('C to Am keeps two fingers and moves one', () => {
    expect(kinds(change(C, AM))).toBe('1 stays, 2 stays, 3 moves');
    expect(reasonFor(change(C, AM), 0.4)).toBe('one finger jumps, two fingers stay, 400 ms');
  });

  test('C to F lays the first finger down anew, as a barre on the same fret', () => {
    const made = change(C, F);
    expect(kinds(made)).toBe('1 moves, 2 moves, 3 stays, 4 lands');
    expect(made.barre).toBe('made');
    expect(change(F, C).barre).toBe('released');
  });

  test('F up the neck: every finger slides and the barre is kept', () => {
    const B = held('B', '799877', '134211');
    const up = change(F, B);
    expect(kinds(up)).toBe('1 slides, 2 slides, 3 slides, 4 slides');
    expect(up.barre).toBe('kept');
    expect(up.shiftFrets).toBe(6);
    expect(up.fingers[2]!.along).toBeCloseTo(
      tipDistance(9, USUAL_NECK) - tipDistance(3, USUAL_NECK),
      6,
    );
    expect(reasonFor(up)).toBe('four fingers slide, 6 frets up');
  });

  test('from one shape to itself nothing moves and it costs nothing', () => {
    expect(change(G, G).cost).toBe(0);
    expect(reasonFor(change(G, G))).toBe('three fingers stay');
  });

  test('leaving an all-open shape only lands fingers', () => {
    const open = { ...EM, presses: [] };
    expect(kinds(change(open, EM))).toBe('1 lands, 2 lands');
    expect(kinds(change(EM, open))).toBe('1 lifts, 2 lifts');
  });
});

describe('the cost', () => {
  test('is the sum of its parts, none negative', () => {
    const { parts, cost } = change(G, BM);
    expect(Object.values(parts).every((part) => part >= 0)).toBe(true);
    expect(cost).toBeCloseTo(
      Object.values(parts).reduce((a, b) => a + b, 0),
      12,
    );
  });

  // Common practice, no source: what every beginner finds hard.
  test('puts the barre after G above C to Am, and far above near', () => {
    expect(change(G, BM).cost).toBeGreaterThan(change(C, AM).cost);
    const far = held('Bm', '799777', '134111');
    expect(change(G, far).cost).toBeGreaterThan(change(G, EM).cost);
  });

  test('a barre that forms, several frets up, in the issue’s words', () => {
    const far = held('Bm', '799777', '134111');
    expect(reasonFor(change(G, far), 0.353)).toMatch(/, barre forms, 5 frets up, 353 ms$/);
    expect(reasonFor(change(far, G), 0.353)).toMatch(/, barre opens, 5 frets down, 353 ms$/);
  });
});
