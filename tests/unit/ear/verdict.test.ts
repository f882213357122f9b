// A pass is clean or missed by the teacher's rule; what could not be told counts for neither.
import { describe, expect, it } from 'vitest';
import { bandOf, passVerdict, USUAL_RULE } from '../../../app/core/ear/verdict.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';

const change = (offset: number, more: Partial<ChangeHeard> = {}): ChangeHeard => ({
  bar: 0,
  change: 0,
  from: 'C',
  to: 'G',
  offset,
  timing: 'on-time',
  chord: 'right',
  confidence: 0.9,
  ...more,
});
const UNSURE = change(0, { chord: 'unsure' });
const times = (n: number, c: ChangeHeard) => Array.from({ length: n }, () => c);

describe('passVerdict', () => {
  // At 120 bpm a beat is 0.5 s, and an eighth of it 62.5 ms.
  it.each([
    ['all right', times(10, change(20)), 'clean'],
    ['one of ten wrong', [...times(9, change(0)), change(0, { chord: 'held' })], 'clean'],
    [
      'two of ten wrong',
      [...times(8, change(0)), ...times(2, change(0, { chord: 'other' }))],
      'missed',
    ],
    ['all late by 70 ms', times(4, change(70, { timing: 'late' })), 'missed'],
    ['late by 62 ms', times(4, change(62, { timing: 'late' })), 'clean'],
    ['a third unsure', [...times(2, change(0)), UNSURE], 'clean'],
    ['half unsure', [change(0), UNSURE], null],
    ['nothing', [], null],
  ])('%s', (_, changes, verdict) => {
    expect(passVerdict(changes, USUAL_RULE, 0.5).verdict).toBe(verdict);
  });

  it('takes a window in milliseconds', () => {
    const rule = { share: 1, window: { kind: 'ms', ms: 30 } } as const;
    expect(passVerdict([change(29)], rule, 1).verdict).toBe('clean');
    expect(passVerdict([change(-31)], rule, 1).verdict).toBe('missed');
  });
});

describe('bandOf', () => {
  // Friberg & Sundberg 1995: 6 ms, or 2.5 % of the interval; PsyArXiv jsg94_v3: 35 ms (DESIGN's bands).
  it.each([
    [6, 0.2, 'tight'],
    [7, 0.2, 'together'],
    [25, 1, 'tight'],
    [-35, 0.5, 'together'],
    [36, 0.5, 'apart'],
  ] as const)('%i ms at a beat of %f s is %s', (offset, beat, band) => {
    expect(bandOf(offset, beat)).toBe(band);
  });
});
