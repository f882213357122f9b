// The easiest way through a row of chords, pins and alternatives; the hardest changes of a unit.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseFrets, printFrets } from '../../../app/core/fretboard/frets.ts';
import { changeBetween } from '../../../app/core/fretboard/change.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { type Path, type PathStep, bestPath, urgencyOf } from '../../../app/core/fretboard/path.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { hardestFirst } from '../../../app/core/units/hands/hardest.ts';
import type { ChordStep } from '../../../app/core/fretboard/chord-step.ts';
import { PATH } from '../../../app/core/fretboard/weights.ts';
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

/** What a path costs, added up from its shapes and changes: the definition that the search must meet. */
function costOf(p: Path): number {
  return shapeSteps(p).reduce((total, s, i, all) => {
    const before = all[i - 1];
    const change = before ? changeBetween(before.shape, s.shape, USUAL_NECK).cost : 0;
    return total + s.shape.ease * PATH.hold + change * urgencyOf(s.step.gap);
  }, 0);
}

test('an everyday row is played with the open shapes', () =>
  expect(frets(path('G C D Em Am'))).toBe('320003 x32010 xx0232 022000 x02210'));

test('the cost is that of its shapes and changes', () => {
  const p = path('G Bm Am7 D7 F C', 0.3);
  expect(p.cost).toBeCloseTo(costOf(p), 9);
});

describe('no other choice is cheaper', () => {
  const symbols = fc.array(fc.constantFrom('G', 'C', 'F', 'Bm', 'Am7', 'E7', 'Bb'), {
    minLength: 2,
    maxLength: 6,
  });

  test('an alternative costs what it says: the path that is pinned to it costs that much more', () =>
    fc.assert(
      fc.property(symbols, fc.nat(5), fc.nat(3), (row, at, which) => {
        const chosen = at % row.length;
        const free = bestPath(steps(row.join(' '), 0.5), STANDARD);
        const alternative = shapeSteps(free)[chosen]!.alternatives[which];
        if (!alternative) return;
        const pinned = steps(row.join(' '), 0.5).map((step, i) =>
          i === chosen ? { ...step, pin: alternative.shape.frets } : step,
        );
        const forced = bestPath(pinned, STANDARD);
        expect(alternative.extra).toBeGreaterThanOrEqual(0);
        expect(forced.cost - free.cost).toBeCloseTo(alternative.extra, 6);
      }),
      { numRuns: 25 },
    ));
});

describe('pins', () => {
  const G3 = unwrap(parseFrets('355433'));

  test('are kept, with the alternatives beside them', () => {
    const row = steps('C G C').map((step, i) => (i === 1 ? { ...step, pin: G3 } : step));
    const p = bestPath(row, STANDARD);
    expect(printFrets(shapeSteps(p)[1]!.shape.frets)).toBe('355433');
    expect(shapeSteps(p)[1]!.alternatives.map((a) => printFrets(a.shape.frets))).toContain(
      '320003',
    );
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

test('less time counts more, up to a limit', () => {
  expect(urgencyOf(undefined)).toBe(1);
  expect(urgencyOf(2)).toBe(1);
  expect(urgencyOf(PATH.enoughTime / 2)).toBe(2);
  expect(urgencyOf(0.001)).toBe(PATH.mostUrgent);
});

describe('hardest first', () => {
  const row = steps('G D G Bm C G D').map((step, i) => ({
    ...step,
    ...(i === 3 && { gap: 0.353 }),
  }));
  const tight = hardestFirst(bestPath(row, STANDARD));

  test('the change with most to do in least time leads, with its reason in words', () => {
    expect(`${tight[0]!.from} → ${tight[0]!.to}`).toBe('G → Bm');
    expect(tight[0]!.reason).toMatch(/353 ms$/);
    expect(tight.map((t) => t.hardness)).toEqual(
      tight.map((t) => t.hardness).toSorted((a, b) => b - a),
    );
  });

  test('a change that comes twice is listed once, with both bars', () => {
    const [gd] = tight.filter((t) => t.from === 'G' && t.to === 'D');
    expect(gd!.bars).toEqual([1, 6]);
  });
});
