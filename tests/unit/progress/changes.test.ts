// Which changes break most.
import { describe, expect, it } from 'vitest';
import { breakingChanges, wilsonLower } from '../../../app/core/progress/changes.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import { pass } from '../log/passes.ts';

const heard = (from: string, to: string, wish: Partial<ChangeHeard> = {}): ChangeHeard => ({
  bar: 0,
  change: 0,
  from,
  to,
  timing: 'on-time',
  chord: 'right',
  confidence: 0.9,
  ...wish,
});
const withChanges = (changes: readonly ChangeHeard[], wish = {}) =>
  pass('2031-04-05T09:00:00Z', { changes, ...wish });
const times = <T>(n: number, one: T): T[] => Array.from({ length: n }, () => one);

describe('breakingChanges', () => {
  it('puts 8 of 10 before 1 of 1: one hearing proves little', () => {
    const late = heard('C', 'F', { timing: 'late', offset: 80 });
    const list = breakingChanges([
      withChanges([...times(8, late), ...times(2, heard('C', 'F', { offset: 0 }))]),
      withChanges([heard('G', 'D', { chord: 'other' })]),
    ]);
    expect(list.map(({ from, to, broke, heard: of }) => [from, to, broke, of])).toEqual([
      ['C', 'F', 8, 10],
      ['G', 'D', 1, 1],
    ]);
    expect(list[0]).toMatchObject({ share: 0.8, faults: { late: 8, wrong: 0 }, offset: 80 });
  });

  it('counts a change both late and wrong once as broken, once under each', () => {
    const [change] = breakingChanges([
      withChanges([heard('C', 'F', { timing: 'late', chord: 'held' })]),
    ]);
    expect(change).toMatchObject({ broke: 1, faults: { late: 1, wrong: 1 } });
  });

  it('counts a change that the player upholds as held, and says how many are', () => {
    const wrong = heard('C', 'F', { change: 3, chord: 'other', offset: 90 });
    const passes = [withChanges([wrong]), withChanges([wrong], { played: [3] })];
    expect(breakingChanges(passes)).toMatchObject([{ heard: 2, broke: 1, upheld: 1, offset: 90 }]);
  });

  it('counts no change whose chord the ear could not tell, in time or not: neither way is one word more likely', () => {
    const unsure = (timing: ChangeHeard['timing']) => heard('C', 'F', { timing, chord: 'unsure' });
    const passes = [withChanges([unsure('late'), unsure('early'), unsure('on-time')])];
    expect(breakingChanges(passes)).toEqual([]);
    const [change] = breakingChanges([...passes, withChanges([heard('C', 'F')])]);
    expect(change).toMatchObject({ heard: 1, broke: 0 });
  });

  it('leaves out what the ear was unsure of and passes with an underrun', () => {
    expect(
      breakingChanges([
        withChanges([heard('C', 'F', { timing: 'unsure', chord: 'unsure' })]),
        withChanges([heard('C', 'F', { timing: 'late' })], { underrun: true }),
        pass('2031-04-05T09:00:00Z'),
      ]),
    ).toEqual([]);
  });
});

describe('wilsonLower', () => {
  it('agrees with R: prop.test(correct = FALSE, conf.level = 0.90), lower end', () => {
    // R 4.2.2: prop.test(7, 10) 0.4416997959; prop.test(1, 1) 0.2698659488.
    expect(wilsonLower(7, 10)).toBeCloseTo(0.4417, 4);
    expect(wilsonLower(1, 1)).toBeCloseTo(0.26987, 4);
    expect(wilsonLower(0, 0)).toBe(0);
  });
});

describe('marks by hand', () => {
  const broke = { bar: 1, change: 2, from: 'Bm', to: 'G', by: 'self' as const };
  const by = (verdict: 'clean' | 'missed', wish = {}) =>
    pass('2031-04-05T09:00:00Z', { verdict, source: 'self', ...wish });

  it('count like findings, with clean passes of the same bars against them, and say who said so', () => {
    const [change] = breakingChanges([
      by('missed', { broke }),
      by('missed', { broke }),
      by('missed'),
      by('clean'),
      by('clean', { unit: { key: 'section:Chorus', name: 'Chorus', fingerprint: 'other' } }),
    ]);
    expect(change).toMatchObject({
      from: 'Bm',
      to: 'G',
      heard: 3,
      broke: 2,
      said: 2,
      faults: { early: 0, late: 0, wrong: 0, silent: 0 },
    });
  });

  it('stand beside what the ear heard of the same change', () => {
    const late = heard('Bm', 'G', { timing: 'late', offset: 90 });
    const [change] = breakingChanges([withChanges([late]), by('missed', { broke })]);
    expect(change).toMatchObject({ heard: 2, broke: 2, said: 1, faults: { late: 1 } });
  });
});
