// The shapes through a row of chords, pins and alternatives; the hardest changes of a unit.
import { describe, expect, test } from 'vitest';
import { parseFrets, printFrets } from '../../../app/core/fretboard/frets.ts';
import { changeBetween } from '../../../app/core/fretboard/change.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { otherWays } from '../../../app/core/fretboard/other-ways.ts';
import { type Path, type PathStep, bestPath } from '../../../app/core/fretboard/path.ts';
import { STANDARD, readTuning } from '../../../app/core/harmony/tunings.ts';
import { reasonFor } from '../../../app/core/fretboard/reason.ts';
import { hardestFirst } from '../../../app/core/units/hands/hardest.ts';
import type { ChordStep } from '../../../app/core/fretboard/chord-step.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';

const steps = (symbols: string, gap = 1): ChordStep[] =>
  symbols.split(' ').map((symbol, i) => ({
    chord: chordOf(symbol),
    bar: i,
    at: i * 2,
    ...(i > 0 && { gap }),
  }));
const path = (symbols: string, gap?: number) => bestPath(steps(symbols, gap), STANDARD);
const shapeSteps = (p: Path) =>
  p.steps.filter((s): s is Extract<PathStep, { kind: 'shape' }> => s.kind === 'shape');
const frets = (p: Path) =>
  shapeSteps(p)
    .map((s) => printFrets(s.shape.frets))
    .join(' ');

test('an everyday row is played with the open shapes', () =>
  expect(frets(path('G C D Em Am'))).toBe('320003 x32010 xx0232 022000 x02210'));

test('the cost is that of its changes', () => {
  const p = path('G Bm Am7 D7 F C');
  const shapes = shapeSteps(p).map((s) => s.shape);
  const changes = shapes
    .slice(1)
    .map((shape, i) => changeBetween(shapes[i]!, shape, USUAL_NECK).cost);
  expect(p.cost).toBeGreaterThanOrEqual(changes.reduce((sum, cost) => sum + cost, 0) - 1e-9);
});

describe('one grip for each chord', () => {
  test('a row high on the neck stays there, and says why', () => {
    const row = steps('Bm G A Bm').map((step, i) => {
      const pin = ['799777', '10.12.12.11.10.10', undefined, '799777'][i];
      return { ...step, ...(pin && { pin: unwrap(parseFrets(pin)) }) };
    });
    const p = bestPath(row, STANDARD);
    expect(frets(p)).toBe('799777 10.12.12.11.10.10 577655 799777');
    expect(shapeSteps(p)[2]!.why).toBe(
      'A as 577655 here: the usual x02220 lies far from the shapes around it.',
    );
  });

  test('the next chord may ask for other fingers, and one line says so', () => {
    const p = path('C/G G C C/G G C');
    expect(shapeSteps(p)[1]!.why).toBe(
      'G with fingers 3-2-4 before C: fewer fingers have to jump.',
    );
    expect(frets(p)).toBe('332010 320003 x32010 332010 320003 x32010');
  });

  test('a chord is held alike however it is spelled', () =>
    expect(frets(path('Bbmaj7 A#maj7 BbΔ'))).toBe('x13231 x13231 x13231'));

  test('with string 6 tuned to D', () => {
    const dropped = unwrap(readTuning('drop D'));
    expect(frets(bestPath(steps('D G A E Em F D5 G5'), dropped))).toBe(
      '000232 5x0003 x02220 222100 222000 xx3211 000xxx 555xxx',
    );
  });
});

describe('pins', () => {
  const G3 = unwrap(parseFrets('355433'));

  test('are kept, with the other ways to hold the chord beside them', () => {
    const row = steps('C G C').map((step, i) => (i === 1 ? { ...step, pin: G3 } : step));
    const p = bestPath(row, STANDARD);
    expect(printFrets(shapeSteps(p)[1]!.shape.frets)).toBe('355433');
    expect(
      otherWays(p.steps, 1, STANDARD).shapes.map(({ shape }) => printFrets(shape.frets)),
    ).toContain('320003');
  });

  test('that no hand can hold are a problem of that step only', () => {
    const row = steps('C G C').map((step, i) =>
      i === 1 ? { ...step, pin: unwrap(parseFrets('123456')) } : step,
    );
    const p = bestPath(row, STANDARD);
    expect(p.steps[1]).toMatchObject({
      kind: 'problem',
      problem: { code: 'pin-unplayable', message: 'No hand can hold the shape pinned to G.' },
    });
    expect(frets(p)).toBe('x32010 x32010');
  });
});

test('an unreadable chord and N.C. part the path; the rest keeps working', () => {
  const p = path('G Hm N.C. D');
  expect(p.steps.map((s) => s.kind)).toEqual(['shape', 'problem', 'silence', 'shape']);
  expect(p.steps[1]).toMatchObject({ problem: { cure: 'Did you mean Bm?' } });
});

test('an empty row is an empty path', () =>
  expect(bestPath([], STANDARD)).toEqual({ steps: [], cost: 0 }));

describe('hardest first', () => {
  const row = steps('G D G Bm C G D').map((step, i) => ({
    ...step,
    ...(i === 3 && { gap: 0.353 }),
  }));
  const tight = hardestFirst(bestPath(row, STANDARD));

  test('the change with most to do in least time leads, with its reason in words', () => {
    expect(`${tight[0]!.from} → ${tight[0]!.to}`).toBe('G → Bm');
    expect(reasonFor(tight[0]!.change, tight[0]!.gap)).toMatch(/353 ms$/);
    expect(tight.map((t) => t.hardness)).toEqual(
      tight.map((t) => t.hardness).toSorted((a, b) => b - a),
    );
  });

  test('a change that comes twice is listed once, with both bars', () => {
    const [gd] = tight.filter((t) => t.from === 'G' && t.to === 'D');
    expect(gd!.bars).toEqual([1, 6]);
  });
});
