// Owned tempo: a number only when the passes support one.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  levelOf,
  nextDayTempo,
  ownedFrom,
  ownedTempo,
  surerBy,
} from '../../../app/core/progress/owned-tempo.ts';
import { pass, passesOf } from '../log/passes.ts';

const DAY = '2031-04-05';
const START = `${DAY}T09:00:00+02:00`;
/** The first of a day is cold and so kept apart. */
const COLD = 60;
const times = (n: number, tempos: readonly number[]): number[] =>
  Array.from({ length: n }, () => tempos).flat();
const owned = (tempos: readonly number[], asOf = DAY) =>
  ownedTempo(passesOf(START, [COLD, ...tempos]), 'quarter', asOf);

describe('ownedTempo', () => {
  it('gives a number with an interval once clean and missed passes meet', () => {
    const answer = owned([...times(6, [72, 76, 80]), 84, 84, -84, 84, -88, -88, 88, -92, -92]);
    if (answer.kind !== 'number') throw new Error(answer.kind);
    expect(answer.bpm).toBeGreaterThan(78);
    expect(answer.bpm).toBeLessThan(86);
    expect(answer.low).toBeLessThan(answer.bpm);
    expect(answer.high).toBeGreaterThan(answer.bpm);
    expect(answer.evidence).toMatchObject({ passes: 27, judgedBy: { self: 27 }, lastPlayed: DAY });
  });

  it('says "at least" when all were clean, and never more than the fastest tried', () => {
    const answer = owned(times(20, [80]));
    if (answer.kind !== 'at-least') throw new Error(answer.kind);
    expect(answer.bpm).toBeLessThanOrEqual(80 + 1e-9);
    expect(answer.bpm).toBeGreaterThan(64);
  });

  it('says "below" when all were missed', () => {
    expect(owned(times(10, [-60]))).toMatchObject({ kind: 'below', bpm: expect.closeTo(60, 6) });
  });

  it.each([
    ['no pass at all', []],
    ['three clean passes', [80, 80, 80]],
    ['clean and missed without order', [60, -70, 60, -80, 90, -100, 100, -60]],
  ])('says "not enough passes yet" for %s', (_, tempos) => {
    expect(owned(tempos).kind).toBe('not-enough');
  });

  it('looks back over 24 days of practice', () => {
    const old = Array.from({ length: 30 }, (_, i) =>
      passesOf(`2031-03-${String(i + 1).padStart(2, '0')}T09:00:00Z`, [60, 80, 80]),
    ).flat();
    expect(ownedTempo(old, 'quarter', DAY).evidence.passes).toBe(24 * 2);
  });

  it('leaves out unjudged passes, passes with an audio underrun and days after the one asked about', () => {
    const passes = [
      pass(START, { verdict: 'unjudged' }),
      pass(START, { verdict: 'missed', underrun: true }),
      pass('2031-04-06T09:00:00Z', { verdict: 'missed' }),
    ];
    expect(ownedTempo(passes, 'quarter', DAY).evidence.passes).toBe(0);
  });

  it('counts only passes of the bars as they are now', () => {
    const before = passesOf(START, [COLD, ...times(20, [80])], {
      unit: { key: 'section:Verse', name: 'Verse', fingerprint: 'old' },
    });
    const after = pass('2031-04-05T12:00:00+02:00', { bpm: 60 });
    expect(ownedTempo([...before, after], 'quarter', DAY).evidence.passes).toBe(1);
  });

  it('answers in the beat unit asked for', () => {
    const passes = passesOf(START, [COLD, ...times(20, [90])]);
    const [inQuarters, inDotted] = (['quarter', 'dotted-quarter'] as const).map((beat) =>
      ownedTempo(passes, beat, DAY),
    );
    if (inQuarters?.kind !== 'at-least' || inDotted?.kind !== 'at-least')
      throw new Error('no floor');
    expect(inDotted.bpm).toBeCloseTo((inQuarters.bpm * 2) / 3, 6);
  });

  it('never names a tempo outside those tried, and keeps low ≤ number ≤ high', () => {
    const tempo = fc.integer({ min: 40, max: 200 }).chain((t) => fc.constantFrom(t, -t));
    fc.assert(
      fc.property(fc.array(tempo, { minLength: 1, maxLength: 60 }), (tempos) => {
        const answer = owned(tempos);
        if (answer.kind === 'not-enough') return;
        const tried = tempos.map(Math.abs);
        expect(answer.bpm).toBeGreaterThanOrEqual(Math.min(...tried) - 1e-6);
        expect(answer.bpm).toBeLessThanOrEqual(Math.max(...tried) + 1e-6);
        if (answer.kind !== 'number') return;
        expect(answer.low).toBeLessThanOrEqual(answer.bpm);
        expect(answer.high).toBeGreaterThanOrEqual(answer.bpm);
      }),
    );
  });

  it('does not take the passes of one day for independent', () => {
    const day = (n: number) => [60, ...times(n, [76, 80, 84, -84, 80, -88])];
    const width = (n: number) => {
      const answer = ownedTempo(passesOf(START, day(n)), 'quarter', DAY);
      if (answer.kind !== 'number') throw new Error(answer.kind);
      return Math.log(answer.high / answer.low);
    };
    // Sixteen times as many passes would narrow a band of independent ones to a quarter.
    expect(width(32) / width(2)).toBeGreaterThan(0.4);
  });
});

describe('surerBy', () => {
  const surer = (tempos: readonly number[]) => {
    const level = levelOf(passesOf(START, [COLD, ...tempos]), 'quarter', DAY);
    return surerBy(ownedFrom(level), level);
  };
  it('asks for the passes that are missing, for faster ones, or for another day', () => {
    expect(surer([80, 80, 80])).toEqual({ kind: 'more-passes', passes: 5 });
    expect(surer(times(20, [80]))).toMatchObject({ kind: 'climb', passes: 4 });
    expect(surer(times(10, [-60]))).toMatchObject({ kind: 'slower', than: expect.closeTo(60, 6) });
    expect(surer(times(6, [80, 84, -88]))).toEqual({ kind: 'another-day' });
  });
});

describe('nextDayTempo', () => {
  it('looks at first passes of the day alone', () => {
    const days = Array.from({ length: 24 }, (_, i) =>
      passesOf(`2031-04-${String(i + 1).padStart(2, '0')}T09:00:00Z`, [70, 90, 90, 90, 90]),
    ).flat();
    const cold = nextDayTempo(days, 'quarter', '2031-04-24');
    expect(cold).toMatchObject({ kind: 'at-least', bpm: expect.closeTo(70, 6) });
    expect(cold.evidence.passes).toBe(24);
  });
});
