// The ladder that is offered before anyone has chosen anything, and the sentences that explain it.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { explain } from '../../../app/core/ladder/explain.ts';
import { rungs } from '../../../app/core/ladder/rungs.ts';
import {
  begunUnder,
  firstLadder,
  keptLadder,
  suggestRules,
} from '../../../app/core/ladder/suggest.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { unit } from '../view/state/climb/stage.ts';
import { PLAIN_RULES } from '../../support/plain-rules.ts';

const at = (bpm: number) => ({ ...unit, tempo: { bpm, beat: 'quarter' as const } });

describe('suggestRules', () => {
  it('begins at about 60 percent of the tempo, in eight even steps', () => {
    // 60 % of 120 is 72; 48 bpm in 8 steps of 6.
    expect(unwrap(rungs(suggestRules(at(120))))).toEqual([72, 78, 84, 90, 96, 102, 108, 114, 120]);
  });

  it('begins just under what is owned', () => {
    // 92 % of 100 is 92; 28 bpm in 8 steps are 3.5, in whole bpm 4.
    expect(unwrap(rungs(suggestRules(at(120), 100)))).toEqual([
      92, 96, 100, 104, 108, 112, 116, 120,
    ]);
  });

  it('stays at the target once it is owned', () => {
    expect(suggestRules(at(120), 140)).toMatchObject({
      start: 120,
      target: 120,
      route: 'at-target',
    });
  });

  it('is always a ladder', () => {
    const tempo = fc.double({ min: 20, max: 400, noNaN: true });
    fc.assert(
      fc.property(tempo, fc.option(tempo, { nil: undefined }), (bpm, owned) => {
        const rules = suggestRules(at(bpm), owned);
        return rungs(rules).ok && unwrap(rungs(rules)).length <= 40;
      }),
    );
  });
});

describe('the first ladder of all', () => {
  it.each([
    // 75 % of 80 is 60; 20 bpm in 3 steps are 6.7, in whole bpm 7.
    [80, [59, 66, 73, 80]],
    [160, [121, 134, 147, 160]],
  ])('has three steps to %d', (bpm, tempos) => {
    expect(unwrap(rungs(firstLadder(at(bpm))))).toEqual(tempos);
  });
});

describe('a ladder that somebody set', () => {
  const set = { ...PLAIN_RULES, start: 33, target: 54, step: { kind: 'bpm', by: 3 } } as const;
  it('begins just under what is owned, in its own steps', () => {
    // 92 % of 49 is 45.08; the steps of three from 33 go through 45.
    expect(begunUnder(set, 49).start).toBe(45);
    // 92 % of 34 is 31.28: the step under it.
    expect(begunUnder(set, 34).start).toBe(30);
    expect(begunUnder(set, undefined)).toBe(set);
  });

  it('keeps one rung under the target, and its own rules', () => {
    expect(unwrap(rungs(begunUnder(set, 200)))).toEqual([51, 54]);
    expect(begunUnder({ ...set, route: 'leap' }, 200).start).toBe(33);
  });

  it('is left as it was kept until it is outgrown', () => {
    // 33 is more than three quarters of 43, and less than three quarters of 45.
    expect(keptLadder(set, 43)).toBe(set);
    expect(keptLadder(set, 45).start).toBe(39);
  });

  it('is always a ladder', () => {
    const tempo = fc.integer({ min: 20, max: 400 });
    const step = fc.oneof(
      fc.record({ kind: fc.constant('bpm' as const), by: fc.integer({ min: 1, max: 50 }) }),
      fc.record({ kind: fc.constant('percent' as const), by: fc.integer({ min: 1, max: 40 }) }),
    );
    fc.assert(
      fc.property(tempo, tempo, tempo, step, (a, b, owned, by) => {
        const rules = { ...PLAIN_RULES, start: Math.min(a, b), target: Math.max(a, b), step: by };
        return !rungs(rules).ok || rungs(begunUnder(rules, owned)).ok;
      }),
    );
  });
});

describe('explain', () => {
  it('says each rule in one sentence', () => {
    const says = explain({ ...PLAIN_RULES, cleanToClimb: 2, longestOnRung: 8, maxMinutes: 10 });
    expect(says).toMatchInlineSnapshot(`
      {
        "above": "The target is the highest rung.",
        "cleanToClimb": "2 clean passes in a row take you up.",
        "drop": "Slower means one rung down.",
        "longestOnRung": "After 8 passes on one rung without climbing, stopping for now is suggested.",
        "maxMinutes": "The climb ends after 10 minutes, never inside a pass.",
        "maxPasses": "There is no limit on passes.",
        "missedToDrop": "After one missed pass you are offered a slower rung, or a drill where it broke.",
        "restBars": "1 bar of rest after each pass is for your hands and your verdict.",
        "route": "You climb rung by rung from the start to the target.",
        "step": "Each rung is 10 bpm above the one before.",
        "tempos": "The ladder goes from 60 to 100 bpm.",
      }
    `);
    for (const sentence of Object.values(says)) expect(sentence).toMatch(/^[A-Z0-9][^.]*\.$/);
  });

  it('says other choices too', () => {
    const says = explain({
      ...PLAIN_RULES,
      step: { kind: 'percent', by: 5 },
      route: 'leap',
      drop: 'half-way',
      above: 1,
      restBars: 0,
      maxPasses: 1,
    });
    expect([says.step, says.route, says.drop, says.above, says.restBars, says.maxPasses]).toEqual([
      'Each rung is 5 % above the one before, in whole bpm.',
      'Passes alternate between a tempo that is yours and the target.',
      'Slower means half-way back to the last rung that is yours.',
      'The ladder goes on for 1 rung above the target.',
      'You play on without a rest, and a verdict takes effect one pass later.',
      'The climb ends after 1 pass.',
    ]);
  });
});
