// Which rungs a ladder has, and which ladders are refused with which sentence.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { rungs } from '../../../app/core/ladder/rungs.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { PLAIN_RULES } from '../../support/plain-rules.ts';

const of = (change: Partial<LadderRules>) => rungs({ ...PLAIN_RULES, ...change });
const messages = (change: Partial<LadderRules>) => {
  const found = of(change);
  return found.ok ? [] : found.problems.map((p) => p.message);
};

describe('rungs', () => {
  // Worked by hand.
  it.each<[string, Partial<LadderRules>, number[]]>([
    ['the step divides the way', {}, [60, 70, 80, 90, 100]],
    ['the last step is shorter', { start: 60, target: 85 }, [60, 70, 80, 85]],
    ['a stub of 3 is spread', { start: 60, target: 93 }, [60, 71, 82, 93]],
    ['less than a step and a half is one step', { start: 60, target: 74 }, [60, 74]],
    [
      'a stub in percent is spread',
      { start: 100, target: 124, step: { kind: 'percent', by: 10 } },
      [100, 111, 124],
    ],
    [
      'a step in percent, whole bpm',
      { start: 100, target: 130, step: { kind: 'percent', by: 10 } },
      [100, 110, 121, 130],
    ],
    [
      'percent too small for a whole bpm',
      { start: 20, target: 23, step: { kind: 'percent', by: 1 } },
      [20, 21, 22, 23],
    ],
    ['rungs above the target', { start: 90, above: 2 }, [90, 100, 110, 120]],
    ['start is the target', { start: 100 }, [100]],
    ['half bpm', { start: 60, target: 61.5, step: { kind: 'bpm', by: 0.5 } }, [60, 60.5, 61, 61.5]],
  ])('%s', (_, change, expected) => {
    expect(unwrap(of(change))).toEqual(expected);
  });

  it.each<[Partial<LadderRules>, string]>([
    [{ start: 120 }, 'The ladder starts at 120 bpm, above its target of 100 bpm.'],
    [{ start: 19 }, 'The start tempo is 19; this program plays 20 to 400 bpm.'],
    [{ target: 401 }, 'The target tempo is 401; this program plays 20 to 400 bpm.'],
    [{ start: NaN }, 'The start tempo is not a number; this program plays 20 to 400 bpm.'],
    [{ step: { kind: 'bpm', by: 0 } }, 'The step is 0 bpm; it can be 0.5 to 50 bpm.'],
    [{ step: { kind: 'percent', by: 60 } }, 'The step is 60 %; it can be 0.5 to 50 %.'],
    [
      { target: 400, above: 1 },
      'The rungs above the target reach 410 bpm; this program plays at most 400 bpm.',
    ],
    [{ restBars: 5 }, '“rest bars” is 5; it can be 0 to 4.'],
    [{ cleanToClimb: 0 }, '“clean passes to climb” is 0; it can be 1 to 10.'],
    [{ missedToDrop: 1.5 }, '“missed passes to drop” is 1.5; it can be 1 to 10.'],
    [
      { start: 20, target: 400, step: { kind: 'bpm', by: 0.5 } },
      'This step makes over 200 rungs, the most that a ladder can have.',
    ],
  ])('refuses %o', (change, message) => {
    expect(messages(change)).toEqual([message]);
  });

  it('names every rule that is wrong at once', () => {
    expect(messages({ start: 10, target: 500, above: 9 })).toHaveLength(3);
  });

  it('never ends in a step under half of the others, on 20,000 ladders', () => {
    const tempo = fc.integer({ min: 20, max: 400 });
    const step = fc.oneof(
      fc.record({ kind: fc.constant('bpm' as const), by: fc.integer({ min: 1, max: 50 }) }),
      fc.record({
        kind: fc.constantFrom('bpm' as const, 'percent' as const),
        by: fc.integer({ min: 1, max: 100 }).map((half) => half / 2),
      }),
    );
    let asked = 0;
    fc.assert(
      fc.property(tempo, tempo, step, (a, b, by) => {
        const found = of({ start: Math.min(a, b), target: Math.max(a, b), step: by });
        if (!found.ok || found.value.length < 3) return true;
        asked++;
        const steps = found.value.slice(1).map((bpm, i) => bpm - found.value[i]!);
        const last = steps.pop()!;
        return last >= Math.max(...steps) / 2 - 1e-9;
      }),
      { numRuns: 20_000 },
    );
    expect(asked).toBeGreaterThan(8_000);
  });

  it('always rises strictly from the start to exactly the target, within 20–400', () => {
    const tempo = fc.integer({ min: 20, max: 400 });
    const step = fc.record({
      kind: fc.constantFrom('bpm' as const, 'percent' as const),
      by: fc.double({ min: 0.5, max: 50, noNaN: true }),
    });
    fc.assert(
      fc.property(tempo, tempo, step, fc.integer({ min: 0, max: 5 }), (a, b, by, above) => {
        const [start, target] = a < b ? [a, b] : [b, a];
        const found = of({ start, target, step: by, above });
        if (!found.ok) return found.problems.length > 0;
        const all = found.value;
        const rising = all.every((bpm, i) => i === 0 || bpm > (all[i - 1] as number));
        const ends = all[0] === start && all[all.length - 1 - above] === target;
        return rising && ends && all.every((bpm) => bpm >= 20 && bpm <= 400);
      }),
    );
  });
});
